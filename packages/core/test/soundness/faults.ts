/** Faults of reading, made on purpose: each takes a good image and a source of chance and gives what a bad read would hold. */
export interface Fault {
  readonly name: string;
  /**
   * What a finding must name for the cause to be right: its code, and behind a colon the correction that it proposes, the
   * value that it misses, or `line` for holes that it puts down to an address line. A doubtful finding names it too.
   */
  readonly cause: RegExp;
  /** Undefined when the fault would leave the image as it is, or cannot be made of it. */
  readonly make: (bytes: Uint8Array, chance: Chance) => Uint8Array | undefined;
  /** The numbers of the lines that it concerns, out of the draws that it was made with. */
  readonly lines?: (draws: readonly number[]) => readonly number[];
  /** What an image must have for the fault to show in it at all; nothing but enough content when left out. */
  readonly needs?: "legible" | "text" | "continuity";
  /** Why it cannot be told without a reference, when it cannot. */
  readonly untellable?: string;
}

export type Chance = (below: number) => number;

/** Numbers that are the same for the same seed (xorshift, 32 bits). */
export function chanceOf(seed: number): Chance {
  let state = (seed | 0) === 0 ? 1 : seed | 0;
  return (below) => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) % below;
  };
}

/** As a part of the next power of two holds it: erased behind its content. */
export function inPart(bytes: Uint8Array): Uint8Array {
  let size = 2048;
  while (size < bytes.length) size *= 2;
  const part = new Uint8Array(size).fill(0xff);
  part.set(bytes);
  return part;
}

const placed = (bytes: Uint8Array, from: (offset: number) => number) =>
  Uint8Array.from({ length: bytes.length }, (_, offset) => bytes[from(offset)] as number);
const bitOf = (value: number, bit: number) => Math.floor(value / 2 ** bit) % 2;
const exchanged = (value: number, a: number, b: number) =>
  bitOf(value, a) === bitOf(value, b) ? value : value + (bitOf(value, b) - bitOf(value, a)) * (2 ** a - 2 ** b);
const linesOf = (bytes: Uint8Array) => Math.round(Math.log2(bytes.length));
const text = (bytes: Uint8Array) => Buffer.from(bytes);

/** Content that is worth damaging: an offset in a stretch of `length` bytes with many values. */
export function densePlace(bytes: Uint8Array, length: number, chance: Chance, distinct = 40): number | undefined {
  for (let attempt = 0; attempt < 60; attempt++) {
    const at = chance(Math.max(1, Math.floor(bytes.length / length))) * length;
    if (at === 0 || at + 2 * length > bytes.length) continue;
    const around = bytes.subarray(at - 64, at + length + 64);
    if (new Set(around).size < distinct) continue;
    if (
      new Set(bytes.subarray(at - 64, at)).size < 24 ||
      new Set(bytes.subarray(at + length, at + length + 64)).size < 24
    )
      continue;
    return at;
  }
  return undefined;
}

const electrical: Fault[] = [
  {
    name: "address line dead",
    lines: ([line = 0]) => [line],
    cause: /address-line-dead|content-repeats|halves-alike|records-alike/,
    make: (bytes, chance) => {
      const part = inPart(bytes);
      const line = chance(linesOf(part) - 1);
      const level = chance(2);
      return placed(part, (offset) => (bitOf(offset, line) === level ? offset : offset + (level ? 1 : -1) * 2 ** line));
    },
  },
  {
    name: "address line dead, noise on the copy",
    lines: ([line = 0]) => [3 + line],
    cause: /address-line-dead|content-repeats|halves-alike|records-alike/,
    make: (bytes, chance) => {
      const part = inPart(bytes);
      const line = 3 + chance(linesOf(part) - 4);
      const read = placed(part, (offset) => offset - bitOf(offset, line) * 2 ** line);
      for (let i = 0; i < read.length / 50; i++) read[chance(read.length)] = chance(256);
      return read;
    },
  },
  {
    name: "address lines shorted",
    lines: ([a = 0, b = 0]) => [a, a + 1 + b],
    cause: /address-lines-shorted|address-line-dead|alternate-blocks-blank|hole-in-content:line/,
    make: (bytes, chance) => {
      const part = inPart(bytes);
      const a = chance(linesOf(part) - 1);
      const b = a + 1 + chance(linesOf(part) - 1 - a);
      const and = chance(2) === 0;
      return placed(part, (offset) => {
        const [x, y] = [bitOf(offset, a), bitOf(offset, b)];
        const level = and ? x & y : x | y;
        return offset + (level - x) * 2 ** a + (level - y) * 2 ** b;
      });
    },
  },
  {
    name: "low address lines exchanged (A0 with another)",
    needs: "legible",
    lines: ([b = 0]) => [0, 1 + b],
    cause: /address-lines-exchanged|order-doubtful:exchange-address-lines/,
    make: (bytes, chance) => {
      const part = inPart(bytes);
      const b = 1 + chance(linesOf(part) - 2);
      return placed(part, (offset) => exchanged(offset, 0, b));
    },
  },
  {
    name: "address lines exchanged (A3 to A9 with a higher one)",
    needs: "continuity",
    lines: ([a = 0, b = 0]) => [3 + a, 3 + a + 1 + b],
    cause: /address-lines-exchanged|blocks-displaced|content-breaks-off/,
    make: (bytes, chance) => {
      const part = inPart(bytes);
      const a = 3 + chance(Math.max(1, Math.min(7, linesOf(part) - 6)));
      const b = a + 1 + chance(Math.max(1, linesOf(part) - 2 - a));
      return placed(part, (offset) => exchanged(offset, a, b));
    },
  },
  {
    name: "data line stuck, 8 bits",
    lines: ([bit = 0]) => [bit],
    cause: /data-line-(stuck|doubtful)|high-bit-clear/,
    make: (bytes, chance) => {
      const mask = 2 ** chance(8);
      return chance(2) ? bytes.map((byte) => byte | mask) : bytes.map((byte) => byte & ~mask);
    },
  },
  {
    name: "data line stuck, 16 bits",
    lines: ([bit = 0]) => [bit],
    cause: /data-line-(stuck|doubtful)/,
    make: (bytes, chance) => {
      const [mask, lane, high] = [2 ** chance(8), chance(2), chance(2)];
      return bytes.map((byte, i) => (i % 2 !== lane ? byte : high ? byte | mask : byte & ~mask));
    },
  },
  {
    name: "data lines shorted",
    lines: ([a = 0, b = 0]) => [a, (a + 1 + b) % 8],
    cause: /data-lines-(shorted|doubtful)|data-line-(stuck|doubtful)/,
    make: (bytes, chance) => {
      const a = chance(8);
      const b = (a + 1 + chance(7)) % 8;
      const and = chance(2) === 0;
      return bytes.map((byte) => {
        const [x, y] = [bitOf(byte, a), bitOf(byte, b)];
        const level = and ? x & y : x | y;
        return byte + (level - x) * 2 ** a + (level - y) * 2 ** b;
      });
    },
  },
  {
    name: "data lines exchanged, 8 bits",
    needs: "legible",
    lines: ([a = 0, b = 0]) => [a, (a + 1 + b) % 8],
    cause: /data-lines-exchanged|order-doubtful:exchange-data-lines/,
    make: (bytes, chance) => {
      const a = chance(8);
      const b = (a + 1 + chance(7)) % 8;
      return bytes.map((byte) => exchanged(byte, a, b));
    },
  },
  { name: "all 00", cause: /constant/, make: (bytes) => new Uint8Array(bytes.length) },
  { name: "all FF", cause: /constant/, make: (bytes) => new Uint8Array(bytes.length).fill(0xff) },
  {
    name: "hole in dense content",
    cause: /hole-in-content/,
    make: (bytes, chance) => {
      const size = 2 ** (8 + chance(5));
      const at = densePlace(bytes, size, chance);
      return at === undefined ? undefined : bytes.slice().fill(chance(2) ? 0xff : 0, at, at + size);
    },
  },
];

const order: Fault[] = [
  {
    name: "pairs swapped",
    needs: "legible",
    cause: /(bytes-swapped|order-doubtful):swap-16$/,
    make: (bytes) => placed(even(bytes, 2), (o) => o + 1 - 2 * (o % 2)),
  },
  {
    name: "32-bit words swapped",
    needs: "legible",
    cause: /(bytes-swapped|order-doubtful):swap-32$/,
    make: (bytes) => placed(even(bytes, 4), (o) => o + 3 - 2 * (o % 4)),
  },
  {
    name: "halves of words swapped",
    needs: "text",
    cause: /(bytes-swapped|order-doubtful):swap-halves-32$/,
    make: (bytes) => placed(even(bytes, 4), (o) => (o % 4 < 2 ? o + 2 : o - 2)),
  },
  {
    name: "joined instead of interleaved",
    needs: "legible",
    cause: /(parts-joined|order-doubtful):interleave$/,
    make: (bytes) => {
      const part = inPart(bytes);
      return placed(part, (o) => (o < part.length / 2 ? 2 * o : 2 * (o - part.length / 2) + 1));
    },
  },
  {
    name: "interleaved instead of joined",
    needs: "legible",
    cause: /(parts-joined|order-doubtful):separate$|alternate-blocks-blank/,
    make: (bytes) => {
      // Both parts hold content: of a nearly empty second one nothing would be seen.
      const all = even(bytes, 8);
      return placed(all, (o) => (o % 2) * (all.length / 2) + Math.floor(o / 2));
    },
  },
  {
    name: "bits of each byte reversed",
    needs: "legible",
    cause: /(bits-rearranged|order-doubtful):reverse-bits$/,
    make: (bytes) => bytes.map(reversed),
  },
];

const extent: Fault[] = [
  {
    name: "cut short",
    cause: /size-unusual|cut/,
    make: (bytes, chance) => {
      const part = inPart(bytes);
      const at = 2048 + 16 * chance((part.length - 2048) / 16 + 1) + 1 + chance(15);
      return at >= part.length ? undefined : part.slice(0, at);
    },
  },
  {
    name: "over-long, content repeated",
    cause: /content-repeats|halves-alike/,
    make: (bytes, chance) => {
      const part = inPart(bytes);
      const twice = Buffer.concat([part, part, part, part]);
      return new Uint8Array(twice.subarray(0, part.length * ([1.5, 2, 3, 4][chance(4)] as number)));
    },
  },
];

/** A value that an image holds fewer times is so rare that others of its size lack it by chance. */
const fewMissed = 32;
const latin1 = (bytes: Uint8Array) => text(bytes).toString("latin1");
const transfer: Fault[] = [
  {
    name: "LF became CR LF",
    cause: /text-mode|line-ends/,
    make: (bytes) => when(bytes, 8, 10, Buffer.from(latin1(bytes).replace(/\n/g, "\r\n"), "latin1")),
  },
  {
    name: "CR dropped",
    cause: /text-mode-transfer|byte-value-doubtful:0d/,
    make: (bytes) => when(bytes, fewMissed, 13, Buffer.from(latin1(bytes).replace(/\r/g, ""), "latin1")),
  },
  {
    name: "NUL dropped",
    cause: /byte-values-missing:00|byte-value-doubtful:00/,
    make: (bytes) => when(bytes, fewMissed, 0, Buffer.from(latin1(bytes).replace(/\0/g, ""), "latin1")),
  },
  {
    name: "CR LF became LF",
    cause: /line-ends/,
    make: (bytes) => Uint8Array.from(Buffer.from(latin1(bytes).replace(/\r\n/g, "\n"), "latin1")),
    untellable:
      "only the pairs that chance makes are missing: told by a size that no part has, a checksum, a second read",
  },
  { name: "high bit stripped", cause: /high-bit-clear/, make: (bytes) => bytes.map((byte) => byte & 0x7f) },
  {
    name: "re-encoded as UTF-8",
    cause: /re-encoded/,
    make: (bytes) => when(bytes, 256, -1, Buffer.from(latin1(bytes), "utf8")),
  },
  {
    name: "through an editor, replacement characters",
    cause: /re-encoded/,
    make: (bytes) => when(bytes, 256, -1, Buffer.from(text(bytes).toString("utf8"), "utf8")),
  },
  {
    name: "base64",
    cause: /not-the-bytes/,
    make: (bytes) =>
      Uint8Array.from(
        Buffer.from(
          text(bytes)
            .toString("base64")
            .replace(/(.{76})/g, "$1\n"),
        ),
      ),
  },
  {
    name: "hex listing",
    cause: /not-the-bytes/,
    make: (bytes) =>
      Uint8Array.from(
        Buffer.from(
          text(bytes.subarray(0, 65536))
            .toString("hex")
            .replace(/(..)/g, "$1 ")
            .replace(/(.{48})/g, "$1\n"),
        ),
      ),
  },
  {
    name: "block repeated in place of the next",
    cause: /block-repeated/,
    make: (bytes, chance) => {
      const size = 2 ** (8 + chance(5));
      const at = densePlace(bytes, size, chance);
      return at === undefined ? undefined : bytes.slice().copyWithin(at + size, at, at + size);
    },
  },
  {
    name: "block repeated, the rest displaced",
    cause: /block-repeated/,
    make: (bytes, chance) => {
      const size = 2 ** (8 + chance(5));
      const at = densePlace(bytes, size, chance);
      if (at === undefined) return undefined;
      return Uint8Array.from(Buffer.concat([bytes.subarray(0, at + size), bytes.subarray(at)]));
    },
  },
  {
    name: "blocks put down in pairs the wrong way round",
    needs: "continuity",
    cause: /blocks-displaced|content-breaks-off/,
    make: (bytes, chance) => {
      const line = 8 + chance(3);
      const all = even(bytes, 2 ** (line + 1));
      return all.length < 64 * 2 ** line ? undefined : placed(all, (o) => o + (1 - 2 * bitOf(o, line)) * 2 ** line);
    },
  },
  {
    name: "two blocks out of order",
    cause: /blocks-displaced|content-breaks-off/,
    make: (bytes, chance) => {
      const size = 1024;
      const [a, b] = [densePlace(bytes, size, chance), densePlace(bytes, size, chance)];
      if (a === undefined || b === undefined || a === b) return undefined;
      const read = bytes.slice();
      read.set(bytes.subarray(a, a + size), b);
      read.set(bytes.subarray(b, b + size), a);
      return read;
    },
    untellable: "four borders in a whole image are too few to stand out: a checksum or a second read shows it",
  },
  {
    name: "encrypted",
    cause: /structureless/,
    make: (bytes, chance) => bytes.map((byte) => byte ^ chance(256) ^ (chance(65536) >> 8)),
  },
];

/** Every fault, in the order of the table. */
export const faults: readonly Fault[] = [...electrical, ...order, ...extent, ...transfer];

/**
 * Whether a read shows that `clean` was damaged at all. It does not where the damage changed nothing, or where it only
 * erased the end: what is left is a whole image to whoever has no other.
 */
export function leavesTrace(clean: Uint8Array, read: Uint8Array): boolean {
  if (read.length !== clean.length && read.length !== inPart(clean).length) return true;
  let end = read.length;
  const fill = read[end - 1];
  if (fill === 0 || fill === 0xff) while (end > 0 && read[end - 1] === fill) end--;
  if (end < leastLeft) return true;
  for (let i = 0; i < end; i++) if (read[i] !== (i < clean.length ? clean[i] : 0xff)) return true;
  return false;
}

/** What is left must be enough to be taken for an image. */
const leastLeft = 1024;

function even(bytes: Uint8Array, multiple: number): Uint8Array {
  return bytes.slice(0, bytes.length - (bytes.length % multiple));
}

/** The damaged bytes, when the image holds at least `least` of `value` (of bytes from 80 on for -1): else nothing is damaged. */
function when(bytes: Uint8Array, least: number, value: number, damaged: Uint8Array): Uint8Array | undefined {
  let count = 0;
  for (const byte of bytes) if (value < 0 ? byte >= 0x80 : byte === value) count++;
  return count < least ? undefined : Uint8Array.from(damaged);
}

function reversed(byte: number): number {
  let result = 0;
  for (let bit = 0; bit < 8; bit++) result = result * 2 + bitOf(byte, bit);
  return result;
}
