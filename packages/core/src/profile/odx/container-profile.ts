import { algorithmOf } from "../../algorithms/algorithm.js";
import { formatAddress } from "../../bytes/hex.js";
import { common, type Span, subtract } from "../../bytes/span.js";
import { Refusal } from "../../findings/refusal.js";
import { loadProfile } from "../load.js";
import type { Expected } from "../schema/donor.js";
import { MEMORY_LIMIT, type Profile } from "../schema/profile.js";
import type { Role } from "../schema/region.js";
import type { FlashBlock } from "./block.js";
import { type FlashChecksum, type FlashContainer, type FlashSession, memorySpans } from "./container.js";
import { type FlashIdent, hexOf } from "./values.js";

/** The roles that go with the kinds of blocks. Common practice, no source: the standard leaves the words free. */
const roles: readonly (readonly [RegExp, Role])[] = [
  [/BOOT|LOADER/i, "boot"],
  [/CODE|PROG|APP|ASW/i, "program"],
  [/DATA|CAL|PARAM|DST/i, "calibration"],
];

/** Names of algorithms as containers write them, where they are not those of the catalogue. Common practice, no source. */
const algorithms: Readonly<Record<string, string>> = {
  CRC32: "CRC-32/ISO-HDLC",
  "SUM8-OF-BYTES": "sum8",
  "SUM16-OF-BYTES": "sum16-bytes",
  "SUM32-OF-BYTES": "sum32-bytes",
};

/**
 * What a session of a container says, as a profile: its blocks as regions, its memory, its checksums as stated values.
 * What a profile cannot say is listed in it.
 * @throws Refusal when the session has no block with an address, or says what cannot be
 */
export function containerProfile(container: FlashContainer, session: FlashSession): Profile {
  const leftOut: string[] = [...session.leftOut];
  const names = new Names();
  const placed = regionsOf(session, names, leftOut);
  const statedChecksums = session.checksums.flatMap((checksum) => statedOf(checksum, session, names, leftOut));
  const document = {
    profile: "assay.profile/1",
    id: idOf(`${container.name}-${session.name}`),
    title: (container.title ?? container.name).slice(0, 120),
    source: `flash container ${container.name}, session ${session.name} (ISO 22901-1)`.slice(0, 1000),
    memory: memoryOf(session, leftOut),
    regions: placed.map(({ region }) => region),
    statedChecksums,
    statedNumbers: numbersOf(placed, leftOut),
    donor: donorOf(session, placed, leftOut),
    ...(session.unknown.length > 0 && { confirmed: false }),
    leftOut: [...unknownLines(session), ...securityLines(session), ...leftOut]
      .map((line) => line.slice(0, 300))
      .slice(0, 256),
  };
  return profileOf(document);
}

/** The profile that `document` is. What it takes amiss stands in the container, at no line of the document made here. */
function profileOf(document: object): Profile {
  try {
    return loadProfile(JSON.stringify(document));
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    throw new Refusal("container/invalid", `expected a container that makes a profile, got: ${error.message}`);
  }
}

function memoryOf({ memory }: FlashSession, leftOut: string[]) {
  const fills = new Set(memory.map(({ fill }) => fill));
  const [fill] = fills;
  const one = fills.size === 1 && fill !== undefined;
  if (memory.length > 0 && !one) leftOut.push("the fill bytes of the memory: not one for all of its segments");
  const erased = one ? { erased: fill, holes: "erased" } : {};
  if (memory.length === 0) return {};
  const base = Math.min(...memory.map(({ start }) => start));
  const end = Math.max(...memory.map(({ start, length }) => start + length));
  if (end - base <= MEMORY_LIMIT) return { base, size: end - base, ...erased };
  leftOut.push(`the size of the memory: its segments reach from ${formatAddress(base)} to ${formatAddress(end - 1)}`);
  return { base, ...erased };
}

/** A block with the region that it became. */
interface PlacedBlock {
  readonly block: FlashBlock;
  readonly region: {
    readonly name: string;
    readonly role: Role;
    readonly title: string;
    readonly over: readonly object[];
  };
}

function regionsOf(session: FlashSession, names: Names, leftOut: string[]): PlacedBlock[] {
  const { blocks } = session;
  const memory = memorySpans(session);
  const taken: Span[] = [];
  const regions = blocks.flatMap((block): PlacedBlock[] => {
    const { segments, name, type, title, offset } = block;
    const spans = segments.map(({ span }) => ({ start: span.start + offset, end: span.end + offset }));
    const inMemory = memory.length === 0 ? spans : common(spans, memory);
    const free = subtract(inMemory, taken).filter(({ start, end }) => start >= 0 && end <= 2 ** 32);
    if (free.length === 0) {
      const why =
        segments.length === 0
          ? "it has no segments"
          : inMemory.length === 0
            ? "it lies outside the memory"
            : "others lie there";
      leftOut.push(`block ${name} as a region: ${why}`);
      return [];
    }
    taken.push(...free);
    const role = roles.find(([form]) => form.test(type))?.[1];
    if (!role)
      leftOut.push(`the kind of block ${name}, ${type === "" ? "which is not stated" : type}: taken as program`);
    const over = free.slice(0, 64).map(({ start, end }) => ({ start, length: end - start }));
    if (free.length > 64) leftOut.push(`block ${name}: ${free.length - 64} of its segments`);
    const region = { name: names.fresh(name), role: role ?? "program", title: (title ?? name).slice(0, 80), over };
    return [{ block, region }];
  });
  if (regions.length === 0) {
    throw new Refusal(
      "container/invalid",
      `SESSION ${session.name}: expected a block with segments in the memory, got none`,
    );
  }
  return regions;
}

function statedOf(checksum: FlashChecksum, session: FlashSession, names: Names, leftOut: string[]) {
  const { name, algorithm, start, length, fill, result } = checksum;
  const not = (why: string) => {
    leftOut.push(`checksum ${name}: ${why}; it is not checked`);
    return [];
  };
  if (algorithm === undefined) return not("no algorithm is named");
  const known = widthOf(algorithms[algorithm.toUpperCase().replaceAll("_", "-")] ?? algorithm);
  if (!known) return not(`the algorithm ${algorithm} is not known`);
  const value = hexOf(result);
  if (value === undefined) return not("its value is text");
  if (BigInt(`0x${value}`) >> BigInt(known.width) !== 0n) return not(`its value has more than ${known.width} bits`);
  const offset = offsetAt({ start, end: start + length }, session.blocks);
  if (offset === undefined) return not("its range lies in blocks that are moved by different offsets");
  const range = { start: start + offset, end: start + offset + length };
  const memory = memorySpans(session);
  if (memory.length > 0 && common([range], memory).length === 0) return not("its range lies outside the memory");
  const over = [{ start: range.start, length }];
  const gaps = fill === undefined ? "refuse" : { fill };
  return [{ name: names.fresh(name), title: name.slice(0, 80), algorithm: known.name, over, gaps, value }];
}

function widthOf(name: string): { readonly name: string; readonly width: number } | undefined {
  try {
    return algorithmOf(name);
  } catch (error) {
    if (error instanceof Refusal || error instanceof RangeError) return undefined;
    throw error;
  }
}

/** What source addresses of `range` are moved by; undefined when not all of them by the same. */
function offsetAt(range: Span, blocks: readonly FlashBlock[]): number | undefined {
  const met = blocks.filter(({ segments }) =>
    segments.some(({ span }) => span.start < range.end && range.start < span.end),
  );
  const offsets = new Set(met.map(({ offset }) => offset));
  return offsets.size > 1 ? undefined : ([...offsets][0] ?? 0);
}

/**
 * What an identification tells, by its name: that of a version or of the supplier is another number than the maker's, and
 * has none of these meanings. Common practice, no source: the standard leaves the names free.
 */
const meanings: readonly (readonly [RegExp, Expected["means"]])[] = [
  [/boot/i, "boot-version"],
  [/version|revision|index|date\b|supplier|serial/i, undefined],
  [/hardware|(^|[^a-z])hw/i, "hardware-number"],
  [/calib|dataset|(^|[^a-z])cal/i, "calibration-number"],
  [/software|(^|[^a-z])sw/i, "software-number"],
];

function meaningOf({ name, values }: FlashIdent): Expected["means"] {
  // A number may be written in many ways; text says the same wherever it stands.
  if (values.some(({ type }) => type !== "A_ASCIISTRING")) return undefined;
  return meanings.find(([form]) => form.test(name))?.[1];
}

/**
 * What the container expects of a unit, as what a donor must say of itself. A session writes its blocks: those of the boot
 * software too, which a donor keeps otherwise.
 */
function donorOf({ expected, name }: FlashSession, placed: readonly PlacedBlock[], leftOut: string[]) {
  const why = `the container expects it before session ${name}`.slice(0, 300);
  const seen = new Set<string>();
  const expects = expected.slice(0, 64).flatMap((ident) => {
    const values = ident.values.map(({ text }) => text);
    const oneOf = [...new Set(values)].filter((text) => /[A-Za-z0-9]/.test(text) && text.length <= 64);
    const unsaid = oneOf.length === 0 || oneOf.length > 256 || seen.has(ident.name) || ident.name.length > 128;
    seen.add(ident.name);
    if (!unsaid) return [{ name: ident.name, means: meaningOf(ident), oneOf, why }];
    leftOut.push(`expected of the unit before the write, ${ident.name}: ${values.join(" or ")}`);
    return [];
  });
  if (expected.length > 64) leftOut.push(`${expected.length - 64} further identifications that are expected`);
  const regions = placed
    .filter(({ region }) => region.role === "boot")
    .map(({ region }) => ({ region: region.name, origin: "source", why: `session ${name} writes it`.slice(0, 300) }));
  return { expects, regions };
}

/** What blocks say of themselves, as numbers of their regions. */
function numbersOf(placed: readonly PlacedBlock[], leftOut: string[]) {
  const kinds: Readonly<Partial<Record<Role, Expected["means"]>>> = {
    program: "software-number",
    calibration: "calibration-number",
  };
  return placed.flatMap(({ block, region }) =>
    block.own.flatMap((ident) => {
      const means = meaningOf(ident);
      const [number, ...others] = ident.values.map(({ text }) => text);
      const one = number !== undefined && others.length === 0 && /[A-Za-z0-9]/.test(number) && number.length <= 64;
      // The software number of a block of data is not that of the program.
      if (one && means !== undefined && means === kinds[region.role]) return [{ means, number, region: region.name }];
      const values = ident.values.map(({ text }) => text).join(" or ");
      leftOut.push(`block ${block.name} says of itself, ${ident.name}: ${values}`);
      return [];
    }),
  );
}

function unknownLines({ unknown }: FlashSession): string[] {
  return unknown.map(({ name, inside, line }) => `what ${name} in ${inside} says (line ${line}): not known there`);
}

function securityLines({ securities, blocks }: FlashSession): string[] {
  const ofBlocks = blocks.filter((block) => block.securities > 0);
  return [
    ...securities.map(({ method, validFor, carries }) => {
      const what = [method, ...carries].filter((part) => part !== undefined).join(", ");
      return `security${validFor === undefined ? "" : ` for ${validFor}`}: ${what === "" ? "named only" : what}; not carried out`;
    }),
    ...ofBlocks.map(({ name, securities: count }) => `security of block ${name}: ${count} elements; not carried out`),
  ];
}

/** `name` in lower case with hyphens, as profiles are called. */
function idOf(name: string): string {
  const id = name
    .toLowerCase()
    .replace(/[^a-z0-9.-]+/g, "-")
    .replace(/^[^a-z0-9]+/, "");
  return id === "" ? "container" : id.slice(0, 64);
}

/** Names as a profile allows them, each once. */
class Names {
  readonly #taken = new Set<string>();

  fresh(wanted: string): string {
    const plain =
      wanted
        .replace(/[^A-Za-z0-9-]+/g, "-")
        .replace(/^[^A-Za-z]+/, "")
        .slice(0, 56) || "unnamed";
    let name = plain;
    for (let i = 2; this.#taken.has(name); i++) name = `${plain}-${i}`;
    this.#taken.add(name);
    return name;
  }
}
