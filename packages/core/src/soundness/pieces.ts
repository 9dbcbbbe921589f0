import { contentBlock } from "./fill.js";

/** How well the content goes on across the borders of pieces of one size, against how it goes on inside them. */
export interface Border {
  /** Bit of the address at which pieces of this size begin. */
  readonly line: number;
  readonly crossed: number;
  /** Share of the sequences of four bytes across a border that occur elsewhere in the image. */
  readonly across: number;
  /** The same inside pieces. */
  readonly inside: number;
}

/** An exchange of address lines, or pieces put down in pairs the wrong way round. */
export interface Rearrangement {
  readonly kind: "lines-exchanged" | "line-inverted";
  readonly first: number;
  /** The other line; the same as `first` for an inverted one. */
  readonly second: number;
  /** Borders that it changes, and the share of sequences across them that occur elsewhere: as they stand, and put back. */
  readonly crossed: number;
  readonly asIs: number;
  readonly across: number;
}

export interface Pieces {
  readonly borders: readonly Border[];
  readonly broken: Border | undefined;
  readonly rearrangement: Rearrangement | undefined;
}

/** Marks in the table, as a power of two: eight for a byte that is looked at, so that few sequences meet by chance. */
const most = 21;
const fewest = 14;
const firstLine = 3;
/** At least so many borders with content on both sides, */
const enough = 24;
/** a share inside of at least this (content that never repeats itself shows nothing), */
const repetitive = 0.12;
/** and across them less than this part of it. */
const brokenPart = 0.5;
/** From this part of it on a rearrangement is tried. */
const worsePart = 0.85;
/** It must make so many times as many sequences known, by so many deviations of the borders that change (McNemar's test), */
export const mendedGain = 1.25;
const mendedDeviations = 4;
/** and by this part of the share inside at least. */
const mendedPart = 0.2;

/** Where the content breaks off at every border of one size, and which rearrangement mends it. */
export function measurePieces(bytes: Uint8Array, blocks: Uint8Array): Pieces {
  const known = sequencesOf(bytes, blocks);
  const { chance } = known;
  const lines = Math.floor(Math.log2(Math.max(1, bytes.length)));
  const borders: Border[] = [];
  for (let line = firstLine; line < lines; line++) {
    const border = borderAt(bytes, blocks, known, line);
    if (border.crossed >= enough)
      borders.push({ ...border, across: Math.max(0, (border.across - chance) / (1 - chance)) });
  }
  return {
    borders,
    broken: borders.find(isBroken),
    rearrangement: rearrangementOf(bytes, blocks, known, borders, lines),
  };
}

function isBroken({ crossed, across, inside }: Border): boolean {
  if (inside < repetitive || across > brokenPart * inside) return false;
  const deviation = Math.sqrt((inside * (1 - inside)) / crossed);
  return inside - across > 5 * deviation;
}

interface Sequences {
  readonly marks: Uint8Array;
  /** Upper bits of the hash that choose a mark. */
  readonly shift: number;
  /** Share of the marks that are set: how often a sequence that never occurred is taken for known. */
  readonly chance: number;
}

/** A table of marks for the sequences of four bytes that do not cross a border of 8. */
function sequencesOf(bytes: Uint8Array, blocks: Uint8Array): Sequences {
  const bits = Math.min(most, Math.max(fewest, Math.ceil(Math.log2(bytes.length)) + 3));
  const shift = 32 - bits;
  const marks = new Uint8Array(2 ** bits);
  let filled = 0;
  // Content of a quarter of a MiB fills a twelfth of the table; more of it would make every sequence known.
  const step = Math.max(1, Math.ceil(bytes.length / 2 ** 18));
  for (let at = 0; at + 8 <= bytes.length; at += 8 * step) {
    if (!blocks[Math.floor(at / contentBlock)]) continue;
    const early = wordAt(bytes, at);
    const late = wordAt(bytes, at + 4);
    for (let bits = 0; bits <= 32; bits += 8) {
      const word = bits === 0 ? early : bits === 32 ? late : (early << bits) | (late >>> (32 - bits));
      const slot = Math.imul(word, spread) >>> shift;
      const mark = marks[slot] as number;
      if (mark === 0) filled++;
      // A second mark means that the sequence was met twice: itself does not count as elsewhere.
      if (mark < 2) marks[slot] = mark + 1;
    }
  }
  return { marks, shift, chance: filled / marks.length };
}

function wordAt(bytes: Uint8Array, at: number): number {
  return (
    ((bytes[at] as number) << 24) |
    ((bytes[at + 1] as number) << 16) |
    ((bytes[at + 2] as number) << 8) |
    (bytes[at + 3] as number)
  );
}

/** An odd number whose bits are spread evenly (2**32 by the golden ratio): neighbouring words meet in far slots. */
const spread = 0x9e3779b1;

function slotAt({ shift }: Sequences, bytes: Uint8Array, at: number): number {
  return Math.imul(wordAt(bytes, at), spread) >>> shift;
}

function pairAt(bytes: Uint8Array, at: number): number {
  return ((bytes[at] as number) << 8) | (bytes[at + 1] as number);
}

/** Whether two bytes from `at` on are fill. */
function isTrivial(bytes: Uint8Array, at: number): boolean {
  const byte = bytes[at];
  return byte === bytes[at + 1] && (byte === 0 || byte === 0xff);
}

/** Borders of each size that are looked at. */
const bordersLooked = 2048;

/** From border to border of pieces of `size`: odd multiples of it, for at even ones a larger piece begins too. */
function stepOf(length: number, size: number): number {
  return 2 * size * Math.max(1, Math.floor(length / (2 * size) / bordersLooked));
}

function borderAt(bytes: Uint8Array, blocks: Uint8Array, known: Sequences, line: number): Border {
  const size = 2 ** line;
  const step = stepOf(bytes.length, size);
  let crossed = 0;
  let hits = 0;
  let insides = 0;
  let insideHits = 0;
  for (let at = size; at + size <= bytes.length; at += step) {
    if (!blocks[Math.floor((at - 1) / contentBlock)] || !blocks[Math.floor(at / contentBlock)]) continue;
    if (isTrivial(bytes, at - 2) || isTrivial(bytes, at)) continue;
    crossed++;
    if (known.marks[slotAt(known, bytes, at - 2)]) hits++;
    const middle = at + size / 2;
    for (let i = middle - 2; i < middle + (line > 3 ? 4 : 0); i += 2) {
      if (isTrivial(bytes, i) || isTrivial(bytes, i + 2)) continue;
      insides++;
      // Inside a piece the sequence itself may have left the mark, so two are asked for.
      if ((known.marks[slotAt(known, bytes, i)] as number) >= 2) insideHits++;
    }
  }
  return {
    line,
    crossed,
    across: crossed === 0 ? 0 : hits / crossed,
    inside: insides === 0 ? 0 : insideHits / insides,
  };
}

/** How the content goes on across borders as it stands and put back: only borders that the rearrangement changes. */
interface Mending {
  readonly crossed: number;
  readonly asIs: number;
  readonly mended: number;
  /** Borders whose sequence is known in one of the two only. */
  readonly changed: number;
}

/** The exchange of a line with a higher one, or its inversion, that mends borders which look worse than the inside. */
function rearrangementOf(
  bytes: Uint8Array,
  blocks: Uint8Array,
  known: Sequences,
  borders: readonly Border[],
  lines: number,
): Rearrangement | undefined {
  let best: (Rearrangement & { readonly deviations: number }) | undefined;
  for (const border of borders) {
    if (!isWorse(border)) continue;
    for (let second = border.line; second < lines; second++) {
      const { crossed, asIs, mended, changed } = mendingOf(bytes, blocks, known, border.line, second);
      if (crossed < enough / 2) continue;
      const gain = (mended - asIs) / crossed;
      const deviations = (mended - asIs) / Math.sqrt(Math.max(1, changed));
      if (mended < mendedGain * asIs || deviations < mendedDeviations || deviations <= (best?.deviations ?? 0))
        continue;
      if (gain < mendedPart * border.inside) continue;
      const kind = second === border.line ? "line-inverted" : "lines-exchanged";
      best = {
        kind,
        first: border.line,
        second,
        crossed,
        asIs: asIs / crossed,
        across: mended / crossed,
        deviations,
      };
    }
    // What is mended at one line also looks better at those above it.
    if (best) break;
  }
  return best;
}

/** Whether it is worth a try: a look at one of these costs as much as the border itself did. */
function isWorse({ crossed, across, inside }: Border): boolean {
  if (inside < repetitive || across > worsePart * inside) return false;
  return inside - across > 2 * Math.sqrt((inside * (1 - inside)) / crossed);
}

function mendingOf(bytes: Uint8Array, blocks: Uint8Array, known: Sequences, first: number, second: number): Mending {
  const [low, high] = [2 ** first, 2 ** second];
  const end = Math.floor(bytes.length / (2 * high)) * 2 * high;
  const place = (offset: number): number => {
    const a = Math.floor(offset / low) % 2;
    if (low === high) return a ? offset - low : offset + low;
    const b = Math.floor(offset / high) % 2;
    return a === b ? offset : offset + (b - a) * low + (a - b) * high;
  };
  const isKnown = (before: number, behind: number) =>
    known.marks[Math.imul((pairAt(bytes, before) << 16) | pairAt(bytes, behind), spread) >>> known.shift] ? 1 : 0;
  const isTelling = (before: number, behind: number) =>
    (blocks[Math.floor(before / contentBlock)] as number) > 0 &&
    (blocks[Math.floor(behind / contentBlock)] as number) > 0 &&
    !isTrivial(bytes, before) &&
    !isTrivial(bytes, behind);
  // An odd number of pieces, so that borders of every larger piece are met as well.
  const step = low * (Math.max(1, Math.floor(bytes.length / low / bordersLooked)) | 1);
  let crossed = 0;
  let asIs = 0;
  let mended = 0;
  let changed = 0;
  for (let at = low; at < end; at += step) {
    const before = place(at - 2);
    const behind = place(at);
    if (behind === before + 2 || behind + 1 >= bytes.length || before + 1 >= bytes.length) continue;
    if (!isTelling(before, behind) || !isTelling(at - 2, at)) continue;
    crossed++;
    const [now, then] = [isKnown(at - 2, at), isKnown(before, behind)];
    asIs += now;
    mended += then;
    if (now !== then) changed++;
  }
  return { crossed, asIs, mended, changed };
}
