import type { Span } from "../bytes/span.js";
import type { Evidence, SoundnessFacts } from "../findings/areas/soundness.js";
import { sameShare, wrapShare } from "./address-lines.js";
import { blankShare } from "./blank-level.js";
import type { Correction } from "./corrections.js";
import { enoughDistinct, oneException, type ShortedLines, type StuckLine } from "./data-lines.js";
import { heldBytes, heldShare, type ProvedOrder, type SoundnessMeasures, type Statistics } from "./measure.js";
import type { Candidate } from "./order.js";
import { mendedGain } from "./pieces.js";

/** The codes that one read alone can lead to. */
export type SymptomCode = {
  [Code in keyof SoundnessFacts]: SoundnessFacts[Code] extends Evidence ? Code : never;
}[keyof SoundnessFacts];

/** One thing that a statistic says about a read. */
export type Symptom = {
  [Code in SymptomCode]: {
    readonly code: Code;
    /** `whole`: it shows all over the image and explains whatever else looks odd. */
    readonly reach: "whole" | "place";
    readonly facts: SoundnessFacts[Code];
    /** Where, as addresses; empty for the whole image. */
    readonly spans: readonly Span[];
  };
}[SymptomCode];

/** What is wrong with a read, and what of it is only a consequence. */
export interface Cause {
  /** Each to be told; the strongest first. */
  readonly told: readonly Symptom[];
  /** Explained by the first one. */
  readonly explained: readonly Symptom[];
  /** Contradicted by a checksum that holds over the place. */
  readonly outweighed: readonly Symptom[];
}

/** The thresholds, each explained in docs/soundness.md. */
export const thresholds = {
  orderGain: 1.25,
  orderDeviations: 8.5,
  orderLegible: 0.08,
  doubtfulDeviations: 5,
  halvesDeviations: 6.5,
  pairsForLines: 1600,
  pairsForAddressLines: 1000,
  orderKinds: 6,
  complements: 0.9,
  lineFeeds: 0.98,
  lineFeedsLeast: 6,
  missing: 16,
  missingDoubtful: 5,
  pairsMissing: 12,
  wellFormed: 0.98,
  highLeast: 64,
  text: 0.85,
  recordsMost: 32768,
  recordsLine: 4,
  flat: 0.9,
  flatLeast: 2,
  chaosDeviation: 2000,
  sizeLeast: 2048,
  heldLeast: 1024,
} as const;

/** What `measures` amount to: the strongest evidence leads, its consequences are named with it and not told apart. */
export function causeOf(measures: SoundnessMeasures): Cause {
  const all = symptomsOf(measures);
  const outweighed = all.filter((symptom) => isOutweighed(symptom, measures));
  const standing = all.filter((symptom) => !outweighed.includes(symptom));
  const [leading, ...rest] = standing;
  if (leading?.reach !== "whole") return { told: standing, explained: [], outweighed };
  const names = [...new Set(rest.map(({ code }) => code.slice(code.indexOf("/") + 1)))];
  const told = { ...leading, facts: { ...leading.facts, also: names } } as Symptom;
  return { told: [told], explained: rest, outweighed };
}

/** Faults that alter every byte or every word alike: content that is intact anywhere contradicts them. */
const everywhere: ReadonlySet<SymptomCode> = new Set<SymptomCode>([
  "soundness/data-line-stuck",
  "soundness/data-lines-shorted",
  "soundness/data-line-doubtful",
  "soundness/data-lines-doubtful",
  "soundness/data-lines-exchanged",
  "soundness/high-bit-clear",
  "soundness/bytes-swapped",
  "soundness/bits-rearranged",
  "soundness/order-doubtful",
  "soundness/not-the-bytes",
  "soundness/only-text",
]);

/**
 * Whether checksums that hold contradict `symptom`. One about places is outweighed by any that cover all of them. One
 * about the whole image needs a checksum that sees the order of bytes: over some content when the fault would be
 * everywhere, else over nearly all of the image in one piece, for blocks can be intact and in the wrong place.
 */
function isOutweighed({ code, reach, spans }: Symptom, measures: SoundnessMeasures): boolean {
  const { held, body } = measures;
  // Blank memory can fulfil a checksum.
  if (!body || held.length === 0 || code === "soundness/constant") return false;
  if (reach === "place" && spans.length > 0) {
    return spans.every((span) => heldBytes(measures, span) === span.end - span.start);
  }
  const ordered = held.filter((span) => span.ordered === true).map(({ start, end }) => end - start);
  if (everywhere.has(code)) return ordered.some((length) => length >= thresholds.heldLeast);
  return ordered.some((length) => length >= heldShare * (body.end - body.start));
}

/** Everything that was seen, strongest evidence first. */
export function symptomsOf(measures: SoundnessMeasures): Symptom[] {
  const { container, constant, erased, known, statistics, body, proved } = measures;
  if (container) return [whole("soundness/not-the-bytes", { kind: container, ...evidence(1, 1, known) })];
  if (constant !== undefined)
    return [whole("soundness/constant", { value: constant, erased, ...evidence(1, 1, known) })];
  // What checksums prove leads: no statistic is as sure.
  const proof = proved ? orderSymptom(proved.correction, "", provenBy(proved)) : [];
  if (!statistics || !body) return proof;
  return [
    ...proof,
    ...addressSymptoms(measures, statistics),
    ...dataSymptoms(statistics),
    ...transferSymptoms(statistics),
    ...orderOrRecords(measures, statistics),
    ...dataDoubts(statistics),
    ...transferDoubts(statistics),
    ...placeSymptoms(measures, statistics, body.start),
    ...chaosSymptoms(statistics),
    ...sizeSymptoms(measures),
  ];
}

function evidence(measured: number, threshold: number, of: number): Evidence {
  return { measured, threshold, of, also: [] };
}

function whole<Code extends SymptomCode>(code: Code, facts: SoundnessFacts[Code]): Symptom {
  return { code, reach: "whole", facts, spans: [] } as unknown as Symptom;
}

/** Whether content is known code or text. Of anything else, such as lists of numbers, habits look like faults. */
function isKnownContent({ order: { asIs } }: Statistics): boolean {
  return asIs.code + 2 * asIs.text >= thresholds.orderLegible;
}

/** Lines across which content repeats. */
function deadIn({ addressLines: { dead, wrap } }: Statistics) {
  return dead.filter(({ line, pairs }) => !(wrap && 2 ** line >= wrap.length) && pairs > 1);
}

/** Whether a repetition can be meant: a small part without code that holds each of its records twice. */
function areRecords(lowest: number, { extent }: SoundnessMeasures, statistics: Statistics): boolean {
  const { recordsMost, recordsLine } = thresholds;
  return extent.bytes <= recordsMost && lowest >= recordsLine && !isKnownContent(statistics);
}

/** The order of content, and beside it what says that all of it stands twice: then borders cannot be asked. */
function orderOrRecords(measures: SoundnessMeasures, statistics: Statistics): Symptom[] {
  const order = measures.proved ? [] : orderSymptoms(statistics);
  const inner = deadIn(statistics);
  const [worst] = inner;
  if (!worst || !areRecords(worst.line, measures, statistics)) return order;
  const explained = order.filter(({ code }) => ofBorders.has(code));
  const facts = {
    lines: inner.map(({ line }) => line),
    ...evidence(worst.share, sameShare, worst.compared),
    also: explained.map(({ code }) => code.slice(code.indexOf("/") + 1)),
  };
  return [...order.filter((symptom) => !explained.includes(symptom)), doubt("soundness/records-alike", facts)];
}

/** What is told of an order in which content goes on from block to block. */
const ofBorders: ReadonlySet<SymptomCode> = new Set<SymptomCode>([
  "soundness/address-lines-exchanged",
  "soundness/blocks-displaced",
  "soundness/content-breaks-off",
]);

function addressSymptoms(measures: SoundnessMeasures, statistics: Statistics): Symptom[] {
  const { extent } = measures;
  const { dead, shorted, wrap, blank } = statistics.addressLines;
  const symptoms: Symptom[] = [];
  for (const { line, level, value, share, compared } of blank.slice(0, 1)) {
    const facts = { line, level, value, ...evidence(share, blankShare, compared) };
    symptoms.push(whole("soundness/alternate-blocks-blank", facts));
  }
  const inner = deadIn(statistics);
  const worst = inner[0];
  if (worst && !areRecords(worst.line, measures, statistics)) {
    const facts = evidence(worst.share, sameShare, worst.compared);
    symptoms.push(whole("soundness/address-line-dead", { lines: inner.map(({ line }) => line), ...facts }));
  }
  if (wrap && !worst) {
    const facts = { period: wrap.length, bytes: extent.bytes, ...evidence(wrap.share, wrapShare, wrap.compared) };
    const decided = extent.allowed.length > 0 && !extent.allowed.includes(extent.bytes);
    const twice = extent.bytes === 2 * wrap.length;
    symptoms.push(whole(twice && !decided ? "soundness/halves-alike" : "soundness/content-repeats", facts));
  } else if (!worst && dead[0]) {
    // One pair of equal blocks: a copy of the content that nothing else contradicts.
    const [{ line, share, compared }] = [dead[0]];
    symptoms.push(
      whole("soundness/halves-alike", {
        period: 2 ** line,
        bytes: extent.bytes,
        ...evidence(share, sameShare, compared),
      }),
    );
  }
  for (const { first, second, share, compared } of shorted.slice(0, 1)) {
    symptoms.push(whole("soundness/address-lines-shorted", { first, second, ...evidence(share, sameShare, compared) }));
  }
  return symptoms;
}

/** Whether lines stand still or move together as in a list of numbers that are small, or even. */
function areNumbers(statistics: Statistics): boolean {
  const { stuck, shorted } = statistics.dataLines;
  return !isKnownContent(statistics) && [...stuck, ...shorted].some(({ likeNumbers }) => likeNumbers);
}

function dataSymptoms(statistics: Statistics): Symptom[] {
  const { dataLines, transfer } = statistics;
  const symptoms: Symptom[] = [];
  if (transfer.high === 0) {
    const facts = evidence(transfer.printable, thresholds.text, transfer.length);
    if (transfer.printable >= thresholds.text) return [whole("soundness/only-text", facts)];
    if (transfer.distinctLow >= enoughDistinct) return [whole("soundness/high-bit-clear", facts)];
  }
  const known = isKnownContent(statistics);
  for (const line of dataLines.stuck) {
    if (line.likeNumbers && !known) continue;
    const facts = stuckFacts(line);
    if (line.exceptions * oneException <= line.bytes) symptoms.push(whole("soundness/data-line-stuck", facts));
  }
  for (const { bus, first, second, bytes } of dataLines.shorted.filter((pair) => isShort(pair, known)).slice(0, 1)) {
    symptoms.push(whole("soundness/data-lines-shorted", { bus, first, second, ...evidence(0, 0, bytes) }));
  }
  return symptoms;
}

function stuckFacts({ bus, lane, bit, level, bytes, exceptions, distinct }: StuckLine) {
  return { bus, lane, bit, level, distinct, ...evidence(exceptions, enoughDistinct, bytes) };
}

function isShort({ moving, likeNumbers }: ShortedLines, known: boolean): boolean {
  return moving && (known || !likeNumbers);
}

/** What a line that stands still, or two that move together, and a list of numbers leave alike. */
function dataDoubts(statistics: Statistics): Symptom[] {
  const { dataLines, transfer } = statistics;
  if (transfer.high === 0) return [];
  const known = isKnownContent(statistics);
  const stuck = known ? [] : dataLines.stuck.filter(({ likeNumbers }) => likeNumbers);
  const doubts: Symptom[] = stuck.map((line) => doubt("soundness/data-line-doubtful", stuckFacts(line)));
  if (dataLines.shorted.some((pair) => isShort(pair, known))) return doubts;
  for (const { bus, first, second, bytes } of dataLines.shorted.slice(0, 1)) {
    doubts.push(doubt("soundness/data-lines-doubtful", { bus, first, second, ...evidence(0, 0, bytes) }));
  }
  return doubts;
}

/** Values that are absent, but for those that a line which stands still cannot make. */
function missingIn({ transfer, dataLines }: Statistics) {
  const still = dataLines.stuck.filter(({ bus }) => bus === 8);
  return transfer.missing.filter(({ value }) => still.every(({ bit, level }) => ((value >> bit) & 1) === level));
}

function transferSymptoms(statistics: Statistics): Symptom[] {
  const { transfer, chaos } = statistics;
  const { lineFeeds, afterReturn, high, wellFormed, replacements } = transfer;
  const symptoms: Symptom[] = [];
  if (transfer.printable >= thresholds.text) return symptoms;
  if (high >= thresholds.highLeast && wellFormed >= thresholds.wellFormed * high) {
    const facts = { replacements, ...evidence(wellFormed / high, thresholds.wellFormed, high) };
    symptoms.push(whole("soundness/re-encoded", facts));
  }
  const share = lineFeeds === 0 ? 0 : afterReturn / lineFeeds;
  if (lineFeeds >= thresholds.lineFeedsLeast && share >= thresholds.lineFeeds && chaos.pieces > 0) {
    symptoms.push(
      whole("soundness/text-mode-transfer", {
        change: "return-added",
        ...evidence(share, thresholds.lineFeeds, lineFeeds),
      }),
    );
  }
  for (const { value, expected } of missingIn(statistics)) {
    if (expected < thresholds.missing) continue;
    const facts = evidence(Math.floor(expected), thresholds.missing, transfer.length);
    symptoms.push(
      value === 0x0d
        ? whole("soundness/text-mode-transfer", { change: "return-dropped", ...facts })
        : whole("soundness/byte-values-missing", { value, ...facts }),
    );
  }
  return symptoms;
}

/** What chance can make of a small image, and a transfer of any. */
function transferDoubts(statistics: Statistics): Symptom[] {
  const { returns, afterReturn, pairsByChance, printable, length } = statistics.transfer;
  if (printable >= thresholds.text) return [];
  const doubts: Symptom[] = missingIn(statistics)
    .filter(({ expected }) => expected >= thresholds.missingDoubtful && expected < thresholds.missing)
    .map(({ value, expected }) =>
      doubt("soundness/byte-value-doubtful", {
        value,
        ...evidence(Math.floor(expected), thresholds.missingDoubtful, length),
      }),
    );
  if (returns > 0 && afterReturn === 0 && pairsByChance >= thresholds.pairsMissing) {
    const facts = evidence(Math.round(pairsByChance), thresholds.pairsMissing, length);
    doubts.push(doubt("soundness/line-ends-doubtful", facts));
  }
  return doubts;
}

/** What explains nothing else, though it is seen all over. */
function doubt<Code extends SymptomCode>(code: Code, facts: SoundnessFacts[Code]): Symptom {
  return { code, reach: "place", facts, spans: [] } as unknown as Symptom;
}

/** Of many pairs of lines one suits a little content by chance. */
function pairsFor({ kind }: Correction): number {
  if (kind === "exchange-data-lines") return thresholds.pairsForLines;
  return kind === "exchange-address-lines" ? thresholds.pairsForAddressLines : 0;
}

function orderSymptoms(statistics: Statistics): Symptom[] {
  const { order, pieces } = statistics;
  const symptoms: Symptom[] = [];
  const { best } = order;
  const surely = best?.correction.kind === "swap-halves-32" ? thresholds.halvesDeviations : thresholds.orderDeviations;
  if (best && legible(best) >= thresholds.orderLegible && best.deviations >= thresholds.doubtfulDeviations) {
    const sure =
      best.gain >= thresholds.orderGain &&
      best.deviations >= surely &&
      best.pairs >= pairsFor(best.correction) &&
      order.kinds >= thresholds.orderKinds &&
      order.complements < thresholds.complements &&
      !areNumbers(statistics);
    const { correction, gain, legibility } = best;
    const facts = evidence(gain, thresholds.orderGain, best.pairs);
    symptoms.push(
      ...(sure
        ? orderSymptom(correction, legibility.family, facts)
        : doubtfulOrder(correction.kind, legibility.family, facts)),
    );
  }
  const { broken, rearrangement } = pieces;
  // Tables of small records break off at every border too: only what can be put back is sure.
  if (rearrangement) {
    const { kind, first, second, crossed, asIs, across } = rearrangement;
    const gain = evidence(across / Math.max(asIs, 1 / crossed), mendedGain, crossed);
    const symptom =
      kind === "lines-exchanged"
        ? whole("soundness/address-lines-exchanged", { first, second, ...gain })
        : whole("soundness/blocks-displaced", { block: 2 ** first, ...evidence(asIs, across, crossed) });
    symptoms.push(symptom);
  } else if (broken) {
    const facts = { block: 2 ** broken.line, ...evidence(broken.across, broken.inside / 2, broken.crossed) };
    symptoms.push(doubt("soundness/content-breaks-off", facts));
  }
  return symptoms;
}

function legible({ legibility: { code, text, across } }: Candidate): number {
  return code + 2 * (text + across);
}

function doubtfulOrder(correction: string, family: string, facts: Evidence): Symptom[] {
  return [doubt("soundness/order-doubtful", { correction, family, ...facts })];
}

/** That so many checksums hold after the correction and none before. */
function provenBy({ checksums }: ProvedOrder): Evidence {
  return { ...evidence(checksums, 1, checksums), proof: "checksums" };
}

function orderSymptom(correction: Correction, family: string, facts: Evidence): Symptom[] {
  const { kind } = correction;
  switch (kind) {
    case "swap-16":
    case "swap-32":
    case "swap-halves-32":
      return [whole("soundness/bytes-swapped", { layout: kind, family, ...facts })];
    case "interleave":
    case "interleave-16":
    case "separate":
    case "separate-16":
      return [whole("soundness/parts-joined", { correction: kind, family, ...facts })];
    case "exchange-data-lines": {
      const { bus, first, second } = correction;
      return [whole("soundness/data-lines-exchanged", { bus, first, second, ...facts })];
    }
    case "exchange-address-lines":
      return [
        whole("soundness/address-lines-exchanged", { first: correction.first, second: correction.second, ...facts }),
      ];
    default:
      return [whole("soundness/bits-rearranged", { correction: kind, family, ...facts })];
  }
}

function placeSymptoms({ failed }: SoundnessMeasures, { holes, repeats }: Statistics, base: number): Symptom[] {
  const symptoms: Symptom[] = [];
  const spanOf = (start: number, end: number): Span => ({ start: base + start, end: base + end });
  const [repeat] = repeats;
  if (repeat) {
    const { start, length, run } = repeat;
    const spans = repeats.map((one) => spanOf(one.start + one.length, one.start + 2 * one.length));
    const facts = { length, first: base + start, count: repeats.length, ...evidence(run, length, length) };
    symptoms.push({ code: "soundness/block-repeated", reach: "place", facts, spans });
  }
  const fails = (span: Span) => failed.some(({ start, end }) => start < span.end && span.start < end);
  for (const failing of [true, false]) {
    const chosen = holes.filter(
      ({ start, end, meant }) =>
        fails(spanOf(start, end)) === failing && meant !== "unused" && (failing || meant !== "padding"),
    );
    const [hole] = chosen;
    if (!hole) continue;
    const { start, end, value, block } = hole;
    const line = chosen.every((one) => one.line === hole.line) ? hole.line : undefined;
    const facts = {
      value,
      first: base + start,
      count: chosen.length,
      line,
      ...evidence(end - start, block, end - start),
    };
    const spans = chosen.slice(0, 64).map((one) => spanOf(one.start, one.end));
    const code = failing ? ("soundness/hole-under-failing-checksum" as const) : ("soundness/hole-in-content" as const);
    symptoms.push({ code, reach: "place", facts, spans });
  }
  return symptoms;
}

function chaosSymptoms({ chaos: { flatShare, pieces, entropy, deviation } }: Statistics): Symptom[] {
  if (pieces < thresholds.flatLeast || flatShare < thresholds.flat || deviation > thresholds.chaosDeviation) return [];
  const facts = { entropy, ...evidence(flatShare, thresholds.flat, pieces) };
  return [{ code: "soundness/structureless", reach: "place", facts, spans: [] }];
}

function sizeSymptoms({ exact, extent }: SoundnessMeasures): Symptom[] {
  // A profile that states sizes is asked about them by the rules on units.
  if (!exact || extent.allowed.length > 0 || extent.bytes < thresholds.sizeLeast || extent.partLike) return [];
  const facts = { odd: extent.odd, ...evidence(extent.bytes, 0, extent.bytes) };
  return [{ code: "soundness/size-unusual", reach: "place", facts, spans: [] }];
}
