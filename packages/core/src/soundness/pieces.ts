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
  /** Share of sequences across the borders that occur elsewhere, when the pieces are put back. */
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
  const broken = borders.find(isBroken);
  return { borders, broken, rearrangement: broken && rearrangementOf(bytes, blocks, known, broken, lines) };
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

function borderAt(bytes: Uint8Array, blocks: Uint8Array, known: Sequences, line: number): Border {
  const size = 2 ** line;
  const step = size * Math.max(1, Math.floor(bytes.length / size / 2048));
  let crossed = 0;
  let hits = 0;
  let insides = 0;
  let insideHits = 0;
  for (let at = step; at + size <= bytes.length; at += step) {
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

function rearrangementOf(
  bytes: Uint8Array,
  blocks: Uint8Array,
  known: Sequences,
  broken: Border,
  lines: number,
): Rearrangement | undefined {
  let best: Rearrangement | undefined;
  for (let second = broken.line; second < lines; second++) {
    const kind = second === broken.line ? "line-inverted" : "lines-exchanged";
    const across = mendedShare(bytes, blocks, known, broken.line, second);
    if (across > (best?.across ?? 0)) best = { kind, first: broken.line, second, across };
  }
  return best && best.across > 1.6 * broken.across && best.across > 0.6 * broken.inside ? best : undefined;
}

function mendedShare(bytes: Uint8Array, blocks: Uint8Array, known: Sequences, first: number, second: number): number {
  const [low, high] = [2 ** first, 2 ** second];
  const end = Math.floor(bytes.length / (2 * high)) * 2 * high;
  const place = (offset: number): number => {
    const a = Math.floor(offset / low) % 2;
    if (low === high) return a ? offset - low : offset + low;
    const b = Math.floor(offset / high) % 2;
    return a === b ? offset : offset + (b - a) * low + (a - b) * high;
  };
  const step = low * Math.max(1, Math.floor(bytes.length / low / 2048));
  let crossed = 0;
  let hits = 0;
  for (let at = step; at < end; at += step) {
    const before = place(at - 2);
    const behind = place(at);
    if (behind === before + 2 || behind + 1 >= bytes.length || before + 1 >= bytes.length) continue;
    if (!blocks[Math.floor(before / contentBlock)] || !blocks[Math.floor(behind / contentBlock)]) continue;
    if (isTrivial(bytes, before) || isTrivial(bytes, behind)) continue;
    crossed++;
    const word = (pairAt(bytes, before) << 16) | pairAt(bytes, behind);
    if (known.marks[Math.imul(word, spread) >>> known.shift]) hits++;
  }
  return crossed < enough / 2 ? 0 : hits / crossed;
}
