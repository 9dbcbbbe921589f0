import { algorithmOf } from "../../core/src/algorithms/algorithm.js";
import { type Random, scatteredFrom } from "../../core/test/reference/random.js";

/** Invented images with checksums that are known, to hold a search against. The same seed makes the same cases. */

export interface Truth {
  readonly algorithm: string;
  readonly width: number;
  readonly ranges: readonly { readonly start: number; readonly length: number }[];
  readonly stored: number;
  readonly order: "big" | "little";
  readonly form: "value" | "complement" | "value-and-complement" | "whole-comes-to-constant";
  readonly layout: Layout;
  /** Both ends of the range, or what stands beside them by the value, are multiples of this. */
  readonly grid: number;
}

export interface SeekCase {
  readonly seed: number;
  readonly size: number;
  readonly contents: readonly Uint8Array[];
  readonly truths: readonly Truth[];
}

export const layouts = [
  "block-end",
  "block-start",
  "content-end",
  "complement",
  "header",
  "described",
  "constant",
  "apart",
  "any-word",
] as const;
export type Layout = (typeof layouts)[number];

export const algorithms: readonly { readonly name: string; readonly width: number }[] = [
  ...[
    "CRC-32/ISO-HDLC",
    "CRC-32/MPEG-2",
    "CRC-32/BZIP2",
    "CRC-32/ISCSI",
    "CRC-32/AUTOSAR",
    "CRC-32/JAMCRC",
    "CRC-32/XFER",
  ],
  ...["sum32-le", "sum32-be", "sum32-bytes", "xor32-be", "adler32", "fletcher32"],
].map((name) => ({ name, width: 32 }));
export const narrow: typeof algorithms = [
  ...[
    "CRC-16/IBM-3740",
    "CRC-16/ARC",
    "CRC-16/XMODEM",
    "CRC-16/KERMIT",
    "CRC-16/MODBUS",
    "sum16-bytes",
    "sum16-le",
    "sum16-be",
  ],
  ...["fletcher16", "xor16-be"],
].map((name) => ({ name, width: 16 }));

export const sizes = [
  ...Array<number>(60).fill(32),
  ...Array<number>(50).fill(64),
  ...Array<number>(36).fill(128),
  ...Array<number>(24).fill(256),
  ...Array<number>(20).fill(512),
  ...Array<number>(6).fill(1024),
  ...Array<number>(2).fill(2048),
  ...Array<number>(2).fill(4096),
].map((kilobytes) => kilobytes * 1024);

/** Case number `number`: its size, layout, algorithm and count of images go round, the rest is drawn. */
export function caseOf(number: number, size = sizes[(number * 37) % sizes.length] as number): SeekCase {
  const random = scatteredFrom(1000 + number);
  const layout = layouts[number % layouts.length] as Layout;
  const wide = layout !== "constant" && random.below(3) > 0;
  const images = wide && layout !== "apart" && layout !== "any-word" ? 1 + random.below(2) : 2 + random.below(2);
  const list = wide || layout === "apart" ? algorithms : narrow;
  const drawn =
    layout === "constant"
      ? { name: random.below(2) ? "sum32-be" : "sum32-le", width: 32 }
      : list[random.below(list.length)];
  const { name, width } = drawn as (typeof algorithms)[number];
  const order = random.below(2) ? "big" : "little";
  const count = 1 + random.below(Math.min(12, size / 8192));
  const places = placesFor(layout, size, count, width / 8, random, name);
  const base = contentOf(size, random);
  if (layout === "content-end") for (const { end, width } of places) base.fill(0xff, end + width, end + width + 512);
  const truths = places.map(({ start, end, stored, grid, from }): Truth => {
    const form =
      layout === "complement" ? "value-and-complement" : layout === "constant" ? "whole-comes-to-constant" : "value";
    if (from !== undefined) {
      base.set(word(start, order), from);
      base.set(word(end, order), from + 4);
    }
    return { algorithm: name, width, ranges: [{ start, length: end - start }], stored, order, form, layout, grid };
  });
  const contents = Array.from({ length: images }, (_, i) => {
    const content = base.slice();
    if (i > 0) vary(content, truths, random);
    for (const truth of truths) seal(content, truth);
    return content;
  });
  return { seed: 1000 + number, size, contents, truths };
}

interface Place {
  readonly start: number;
  readonly end: number;
  readonly stored: number;
  readonly grid: number;
  readonly width: number;
  readonly from?: number;
}

/** Disjoint ranges, one in each of `count` parts of the image. */
function placesFor(layout: Layout, size: number, count: number, bytes: number, random: Random, name: string): Place[] {
  const part = Math.floor(size / (count + 1) / 256) * 256;
  const grid = part >= 65536 * 2 ? 65536 : part >= 8192 ? 4096 : 256;
  const places: Place[] = [];
  for (let i = 0; i < count; i++) {
    const first = Math.ceil((part * i) / grid) * grid;
    const last = Math.max(first + grid, Math.floor((part * (i + 1)) / grid) * grid);
    if (last - first < 1024) continue;
    const width = layout === "complement" ? 2 * bytes : bytes;
    const value = { grid, width };
    switch (layout) {
      case "block-end":
      case "complement":
        places.push({ ...value, start: first, end: last - width, stored: last - width });
        break;
      case "block-start":
        places.push({ ...value, start: first + width, end: last, stored: first });
        break;
      case "content-end": {
        const end = last - 1024 + 16 * random.below(24);
        places.push({ ...value, start: first, end, stored: end });
        break;
      }
      case "header":
        places.push({ ...value, start: first, end: last, stored: first + 4 * (1 + random.below(10)) });
        break;
      case "described": {
        const from = size - part + 16 * i;
        const start = first + 4 * random.below(16);
        places.push({ ...value, grid: 1, start, end: last - 4 * random.below(64), stored: from + 8, from });
        break;
      }
      case "constant":
        places.push({ ...value, start: first, end: last, stored: last - 4 });
        break;
      case "apart":
        places.push({ ...value, start: first, end: last, stored: size - part + 4 * (random.below(32) + 40 * i) });
        break;
      case "any-word": {
        const start = first + 4 * random.below(60);
        const end = last - 8 - 4 * random.below(60);
        places.push({ ...value, grid: 4, start, end, stored: end });
      }
    }
  }
  void name;
  return places;
}

/** Content as firmware has it: code-like words, smooth tables, text, fill, tables that are linear, words with complements. */
function contentOf(size: number, random: Random): Uint8Array {
  const content = random.bytes(size);
  for (let at = 0; at + 2048 <= size; at += 512 * (1 + random.below(8))) {
    const length = 256 * (1 + random.below(6));
    const kind = random.below(9);
    const end = Math.min(size, at + length);
    if (kind === 0) content.fill(0xff, at, end);
    else if (kind === 1) content.fill(0, at, end);
    else if (kind === 2)
      for (let i = at, value = random.below(200); i < end; i++) content[i] = value += i % 2 ? random.below(4) - 1 : 0;
    else if (kind === 3) for (let i = at; i < end; i++) content[i] = 32 + ((content[i] as number) % 90);
    else if (kind === 4 && at >= length) content.copyWithin(at, at - length, at);
    else if (kind === 5) linearTable(content, at, Math.min(size, at + 1024), random);
    else if (kind === 6)
      for (let i = at; i + 8 <= Math.min(end, at + 64); i += 8)
        for (let k = 0; k < 4; k++) content[i + 4 + k] = 255 - (content[i + k] as number);
    else if (kind === 7)
      for (let i = at; i + 4 <= end; i += 4) content.set([0, (i >> 8) & 15, content[i] as number, 0], i);
  }
  return content;
}

/** 256 words, each the XOR of those of its bits, as the table of a CRC is. */
function linearTable(content: Uint8Array, from: number, to: number, random: Random): void {
  const basis = Array.from({ length: 8 }, () => random.bytes(4));
  for (let i = 0; from + 4 * i + 4 <= to; i++) {
    for (let k = 0; k < 4; k++) {
      content[from + 4 * i + k] = basis.reduce(
        (sum, each, bit) => ((i >> bit) & 1 ? sum ^ (each[k] as number) : sum),
        0,
      );
    }
  }
}

/** Another unit of the family: words of each range are others, and some elsewhere. */
function vary(content: Uint8Array, truths: readonly Truth[], random: Random): void {
  for (const { ranges, stored, form, width } of truths) {
    const [{ start, length }] = ranges as [{ start: number; length: number }];
    for (let i = 0; i < 24; i++) {
      const at = start + 64 + 4 * random.below(Math.floor((length - 128) / 4));
      if (at + 4 > stored - 8 && at < stored + width) continue;
      content.set(random.bytes(4), at);
    }
    void form;
  }
}

/** Puts the value of a range where it belongs. */
export function seal(content: Uint8Array, { algorithm, ranges, stored, order, form, width }: Truth): void {
  const [{ start, length }] = ranges as [{ start: number; length: number }];
  const bytes = width / 8;
  const inside = stored >= start && stored < start + length;
  const covered = content.slice(start, start + length);
  if (inside) covered.fill(0, stored - start, stored - start + bytes);
  const running = algorithmOf(algorithm).start();
  running.update(covered);
  let value = running.value();
  const put = (at: number, each: bigint, how: "big" | "little") => {
    for (let i = 0; i < bytes; i++) {
      content[how === "big" ? at + bytes - 1 - i : at + i] = Number((each >> BigInt(8 * i)) & 255n);
    }
  };
  const all = (1n << BigInt(width)) - 1n;
  if (form === "whole-comes-to-constant") {
    value = (0x5aa55aa5n - value) & all;
    put(stored, value, algorithm.endsWith("le") ? "little" : "big");
    return;
  }
  put(stored, value, order);
  if (form === "value-and-complement") put(stored + bytes, value ^ all, order);
}

function word(value: number, order: "big" | "little"): Uint8Array {
  const bytes = Uint8Array.of(value >>> 24, value >>> 16, value >>> 8, value);
  return order === "big" ? bytes : bytes.reverse();
}
