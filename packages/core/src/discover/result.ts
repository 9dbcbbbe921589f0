import { type AlgorithmChoice, algorithmOf } from "../algorithms/algorithm.js";
import type { CrcModel } from "../algorithms/crc.js";
import { crcCatalogue } from "../algorithms/crc-catalogue.js";
import { formatValue } from "../bytes/hex.js";
import type { ByteOrder } from "../bytes/word.js";
import { CERTAIN_BELOW, type Certainty, certaintyOf, type Judged, judged, LIKELY_BELOW } from "./chance.js";
import { type Slack, slacksOf } from "./fill-slack.js";
import type { Hit } from "./hit.js";
import { withoutJoined } from "./in-a-row.js";
import { type PossiblePlaces, possibleOf, type UntoldPlace, untoldPlace } from "./place-of-value.js";
import type { KnownEnds, SeekPlan } from "./plan.js";
import { reduced } from "./reduce.js";
import { secondLook } from "./second-look.js";
import { coreOf, withoutShifted } from "./shifted.js";
import { valueAt } from "./site.js";
import { tabled } from "./tables.js";
import { widened } from "./wider.js";

/** The parameters of a CRC in the notation of a profile: numbers are text with 0x before hexadecimal digits. */
export interface CrcParameters {
  readonly width: number;
  readonly poly: string;
  readonly init: string;
  readonly refin: boolean;
  readonly refout: boolean;
  readonly xorout: string;
}

/** A range of the images that checks itself. */
export interface FoundChecksum {
  readonly algorithm: string;
  /** Of a CRC that has no name: as a profile takes them for `algorithm`. */
  readonly parameters?: CrcParameters;
  /** What it covers, in order. */
  readonly ranges: readonly { readonly start: number; readonly length: number }[];
  /** Where the first range may begin as well, and the last one end: at any address in fill that counts for nothing. */
  readonly mayBegin?: Slack;
  readonly mayEnd?: Slack;
  readonly stored: {
    /** The address of the value, or, where `place` is not told, of the likeliest word. */
    readonly start: number;
    /** Bits. */
    readonly width: number;
    readonly order: ByteOrder;
    readonly form: "value" | "complement" | "negated" | "value-and-complement" | "whole-comes-to-constant";
    /** What the whole comes to, where it does. */
    readonly constant?: string;
    /**
     * Whether the data tell where in the range the value stands. Where the whole comes to a constant they do not, however
     * certain the range is: `start` is then the likeliest place only.
     */
    readonly place: "told" | "not-told";
    /** Where it is not told: how many words of the range may be the value. */
    readonly possible?: PossiblePlaces;
    /** How the stored value counts in a range that it stands in. */
    readonly inside?: "zeros";
    /** The words of the image that describe the range. */
    readonly descriptor?: number;
  };
  readonly certainty: Certainty;
  /** How many that are at least as simple chance alone would bring. */
  readonly expectedByChance: number;
  /** How many more reads of the family, with other content in the range, would make it certain; 0 when it is. */
  readonly readsToSettle: number;
}

/** No more candidates that may be chance are told than this. */
const mostByChance = 12;
/** What chance brings as often as this is not told. */
const tooOften = 30;

/** What `hits` come to: judged, reduced to the simplest, those of which chance is least likely first. */
export function foundIn(plan: SeekPlan, hits: readonly Hit[]): FoundChecksum[] {
  const kept = settled(plan, hits).filter(({ expectedByChance }) => expectedByChance < tooOften);
  const decided = kept.filter(({ expectedByChance }) => expectedByChance < LIKELY_BELOW);
  const open = kept
    .filter(({ expectedByChance }) => expectedByChance >= LIKELY_BELOW)
    .sort((a, b) => a.expectedByChance - b.expectedByChance)
    .slice(0, mostByChance);
  const rank: Readonly<Record<Certainty, number>> = { certain: 0, likely: 1, chance: 2 };
  const covered = ({ ranges }: FoundChecksum) => ranges.reduce((sum, { length }) => sum + length, 0);
  return [...decided, ...open]
    .map((one) => described(plan, one))
    .sort(
      (a, b) => rank[a.certainty] - rank[b.certainty] || covered(b) - covered(a) || a.stored.start - b.stored.start,
    );
}

/** What is established among hits. */
export interface Established {
  /** The ends of ranges and values. */
  readonly known: KnownEnds;
  readonly families: readonly number[];
  /** The offsets of all bytes of values, for each ground by index. */
  readonly values: Readonly<Record<number, ReadonlySet<number>>>;
}

/** The ends of what is established among `hits`, the families that it is of, and the bytes that values take. */
export function establishedBy(plan: SeekPlan, hits: readonly Hit[]): Established {
  const established = settled(plan, hits).filter(({ expectedByChance }) => expectedByChance < LIKELY_BELOW);
  const known: Record<number, Set<number>> = {};
  const values: Record<number, Set<number>> = {};
  for (const { hit } of established) {
    const bytes = ((plan.families[hit.family]?.width ?? 8) / 8) * (hit.complemented ? 2 : 1);
    const { ground, start, end, stored } = hit;
    known[ground] ??= new Set();
    values[ground] ??= new Set();
    known[ground].add(start).add(end);
    // A value beside its range ends it for whatever comes next; inside of it, it ends nothing.
    if (stored >= end || stored + bytes <= start) known[ground].add(stored).add(stored + bytes);
    for (let i = 0; i < bytes; i++) values[ground].add(stored + i);
  }
  return {
    known: Object.fromEntries(Object.entries(known).map(([ground, offsets]) => [ground, [...offsets]])),
    families: [...new Set(established.map(({ hit }) => hit.family))],
    values,
  };
}

/** How often what would be told is looked at again. */
const looks = 8;

/** What is left of `hits` when they are judged by what they prove at a second look, and reduced. */
function settled(plan: SeekPlan, hits: readonly Hit[]): Judged[] {
  const bytesOf = ({ family }: Hit) => (plan.families[family]?.width ?? 8) / 8;
  const core = (ground: number, start: number, end: number) =>
    coreOf(plan.sites[ground]?.ground.contents[0] as Uint8Array, start, end);
  const schemes = schemesOf(withoutShifted(plan, withoutJoined(plan, hits)));
  let all: Judged[] = [];
  for (let look = 0; look < looks; look++) {
    all = schemes.flatMap((scheme) => judgedScheme(plan, scheme));
    const decided = all
      .filter(({ expectedByChance }) => expectedByChance < LIKELY_BELOW)
      .sort((a, b) => a.expectedByChance - b.expectedByChance)
      .map(({ hit }) => hit);
    const lowered = new Map<Hit, Hit>();
    for (const [i, hit] of decided.entries()) {
      const evidence = secondLook(plan, hit, decided.slice(0, i));
      if (evidence < hit.evidence - 0.5) lowered.set(hit, { ...hit, evidence });
    }
    if (lowered.size === 0) break;
    for (const scheme of schemes) for (const [i, hit] of scheme.entries()) scheme[i] = lowered.get(hit) ?? hit;
  }
  return reduced(widened(plan, all), bytesOf, core);
}

/** The hits of each scheme: the same algorithm, byte order and kind of place; each range and place once. */
function schemesOf(hits: readonly Hit[]): Hit[][] {
  const schemes = new Map<string, Map<string, Hit>>();
  for (const hit of hits) {
    const scheme = [hit.family, hit.variant, hit.order, hit.place, hit.complemented, hit.counted, hit.constant].join(
      "/",
    );
    const same = [hit.ground, hit.start, hit.end, hit.stored].join("/");
    const there = schemes.get(scheme) ?? new Map<string, Hit>();
    const before = there.get(same);
    if (!before || hit.rangeBits - hit.evidence < before.rangeBits - before.evidence) there.set(same, hit);
    schemes.set(scheme, there);
  }
  return [...schemes.values()].map((scheme) => [...scheme.values()]);
}

function judgedScheme({ sites, families }: SeekPlan, scheme: readonly Hit[]): Judged[] {
  const seen = (hit: Hit) => {
    const content = sites[hit.ground]?.ground.contents[0] as Uint8Array;
    const bytes = (families[hit.family]?.width ?? 8) / 8;
    return hit.place === "whole" ? `${hit.start} ${hit.end}` : `${valueAt(content, hit.stored, bytes, "big")}`;
  };
  const better = scheme[0]?.place === "apart" ? tabled(scheme, ({ withinBits }) => withinBits) : [];
  const best = new Map<Hit, number>();
  for (const { hit, expectedByChance } of [...judged(scheme, seen), ...better]) {
    best.set(hit, Math.min(best.get(hit) ?? Number.POSITIVE_INFINITY, expectedByChance));
  }
  return [...best].map(([hit, expectedByChance]) => ({ hit, expectedByChance }));
}

function described(plan: SeekPlan, { hit, expectedByChance }: Judged): FoundChecksum {
  const family = plan.families[hit.family] as SeekPlan["families"][number];
  const variant = family.variants[hit.variant] as (typeof family.variants)[number];
  const address = plan.sites[hit.ground]?.ground.address as number;
  const bytes = family.width / 8;
  const untold = untoldPlace(plan, hit);
  const { start, end } = untold ?? hit;
  const stored = untold?.likeliest ?? hit.stored;
  const whole = { start: address + start, length: end - start };
  const ranges =
    hit.counted === "left-out" && !untold
      ? [
          { start: whole.start, length: stored - start },
          { start: address + stored + bytes, length: end - stored - bytes },
        ]
      : [whole];
  const slack = slacksOf(plan, hit, start, end);
  const algorithm = nameOf(variant.algorithm);
  return {
    algorithm,
    ...(typeof variant.algorithm !== "string" &&
      !isNamed(algorithm) && { parameters: parametersOf(variant.algorithm) }),
    ranges,
    ...(slack.start && { mayBegin: shifted(slack.start, address) }),
    ...(slack.end && { mayEnd: shifted(slack.end, address) }),
    stored: {
      start: address + stored,
      width: family.width,
      order: untold ? (family.order ?? hit.order) : hit.order,
      form: untold ? "whole-comes-to-constant" : hit.complemented ? "value-and-complement" : variant.form,
      ...(untold && { constant: formatValue(untold.constant, family.width) }),
      ...(hit.counted === "zeros" && !untold && { inside: "zeros" as const }),
      ...placeOf(untold, address),
      ...(hit.descriptor !== undefined && { descriptor: address + hit.descriptor }),
    },
    certainty: certaintyOf(expectedByChance),
    expectedByChance: Number(expectedByChance.toPrecision(2)),
    readsToSettle:
      expectedByChance < CERTAIN_BELOW
        ? 0
        : Math.max(1, Math.ceil((Math.log2(expectedByChance / CERTAIN_BELOW) + 0.1) / family.width)),
  };
}

function shifted({ from, to }: Slack, address: number): Slack {
  return { from: address + from, to: address + to };
}

/** A single word that can be the value is told after all. */
function placeOf(
  untold: UntoldPlace | undefined,
  address: number,
): Pick<FoundChecksum["stored"], "place" | "possible"> {
  if (!untold || untold.places.length === 1) return { place: "told" };
  return { place: "not-told", possible: possibleOf(untold.places, address) };
}

function isNamed(algorithm: string): boolean {
  return crcCatalogue.some(({ name }) => name === algorithm);
}

function parametersOf({ width, poly, init, refin, refout, xorout }: Omit<CrcModel, "name">): CrcParameters {
  const text = (value: bigint) => `0x${value.toString(16).padStart(width / 4, "0")}`;
  return { width, poly: text(poly), init: text(init), refin, refout, xorout: text(xorout) };
}

function nameOf(algorithm: AlgorithmChoice): string {
  return typeof algorithm === "string" ? algorithm : algorithmOf(algorithm).name;
}
