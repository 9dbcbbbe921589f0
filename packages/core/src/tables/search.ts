import type { Span } from "../bytes/span.js";
import { isPrintable } from "../bytes/text.js";
import type { ByteOrder } from "../bytes/word.js";
import { areBytes, endsInFill } from "./misread.js";
import { fewestPoints, leadOf, longestRunOf, mostPoints, type Runs, runsOf } from "./runs.js";
import { type Series, seriesOf, signBit } from "./series.js";
import { mostBitsOf, smoothnessOf } from "./smoothness.js";

/** A table as it may lie in a stretch of bytes; offsets count from the first of them. */
export interface Candidate {
  readonly start: number;
  readonly end: number;
  readonly rows: number;
  readonly columns: number;
  /** Bytes of one value. */
  readonly width: 1 | 2;
  readonly signed: boolean;
  readonly order: ByteOrder | undefined;
  /** Where the values begin. */
  readonly values: number;
  /** Offset and points of each axis, in the order in which they lie. */
  readonly axes: readonly { readonly start: number; readonly points: number }[];
  /** Bytes of one point. */
  readonly pointWidth: 1 | 2;
  /** How many numbers of points stand in front and fit. */
  readonly counts: 0 | 1 | 2;
  /** How improbable it is that shuffled bytes look like this. */
  readonly bits: number;
  /** Whether its rows are made up: then no other reading of the same bytes is a table either. */
  readonly list: boolean;
}

/** What either half of a search may cost: looks at one value, for each byte. What is undone after that is not found. */
const looksPerByte = 150;

/** Readings that are kept: data that are made to look like a table everywhere must not fill the memory. */
const mostKept = 2048;

/** Places that are told apart: where there are more, everything between them counts as one. */
const mostPlaces = 16;

/** Points by which axes may be shorter than the runs that they lie in, together: the next value goes on by chance. */
const overrun = 2;
/** What each way to read more than the plainest one costs, in bits. */
const bitsOfOverrun = 3;
const bitsOfOddPlace = 2;
const bitsOfPadding = 2;
const bitsOfSign = 1;
/** What a number of points that fits says: one value of 256, or of a word that is small anyway. */
const bitsOfCount = { 1: 6, 2: 8 } as const;
/** Below this nothing is kept. */
const fewestBits = 30;

/** Every reading of a part of `bytes` as a table, best first, overlapping. `address` is that of the first byte. */
export function searchTables(bytes: Uint8Array, address: number): Candidate[] {
  return new Search(bytes, address).run();
}

/**
 * Whether `searchTables` may find a reading of `bytes` that meets one of `places`: offsets into them, sorted, apart. Costs
 * little where runs are short, as in code, since only what could reach a place is looked at.
 */
export function mayMeet(bytes: Uint8Array, address: number, places: readonly Span[]): boolean {
  const hull = { start: places[0]?.start ?? 0, end: places.at(-1)?.end ?? 0 };
  const longest = Math.max(...seriesOf(bytes).map(longestRunOf));
  const reach = mostFront + extentOf(longest, longest, 2);
  const from = Math.max(0, hull.start - reach);
  const near = bytes.subarray(from, hull.end + reach);
  const told = places.length > mostPlaces ? [hull] : places;
  const offsets = told.map(({ start, end }) => ({ start: start - from, end: end - from }));
  return new Search(near, address + from, offsets).found();
}

/** Two numbers of points that both fit count double: what only runs on into the next table must not be taken instead. */
export function rankOf({ counts, bits }: Pick<Candidate, "counts" | "bits">): number {
  return counts === 2 ? 2 * bits : bits;
}

/** What stands before the points of the first axis. */
interface Front {
  readonly counts: 0 | 1 | 2;
  readonly length: number;
  /** What it says for the table, or costs. */
  readonly bits: number;
}

class Search {
  readonly #all: readonly Series[];
  /** With two numbers of points that fit; they are few, and must not be lost among the others. */
  readonly #settled: Candidate[] = [];
  #found: Candidate[] = [];
  #looks: number;
  #met = false;

  /** Readings that meet none of `places`, where these are given, are not looked at. */
  constructor(
    readonly bytes: Uint8Array,
    readonly address: number,
    readonly places: readonly Span[] = [{ start: 0, end: bytes.length }],
  ) {
    this.#all = seriesOf(bytes);
    this.#looks = looksPerByte * bytes.length;
  }

  run(): Candidate[] {
    const all = this.#all.map((series) => ({ series, runs: runsOf(series) }));
    // What says its size goes first: where everything rises and falls, the rest may use up what the search may cost.
    for (const { series, runs } of all) this.#searchCounted(series, runs);
    this.#looks += looksPerByte * this.bytes.length;
    for (const { series, runs } of all) this.#searchBare(series, runs);
    return [...this.#settled, ...this.#best()].sort((a, b) => rankOf(b) - rankOf(a));
  }

  /** Whether anything is kept that meets what it must; ends with the first. */
  found(): boolean {
    this.#looks += looksPerByte * this.bytes.length;
    for (const series of this.#all) {
      const runs = runsOf(series);
      this.#searchCounted(series, runs);
      this.#searchBare(series, runs);
      if (this.#met) return true;
    }
    return false;
  }

  #meets(start: number, end: number): boolean {
    return this.places.some((place) => place.start < end && start < place.end);
  }

  #best(): Candidate[] {
    return this.#found.sort((a, b) => b.bits - a.bits).slice(0, mostKept);
  }

  #keep(candidate: Candidate): void {
    this.#met = true;
    if (candidate.counts === 2 && this.#settled.length < mostKept) this.#settled.push(candidate);
    else this.#found.push(candidate);
    if (this.#found.length >= 2 * mostKept) this.#found = this.#best();
  }

  /** Tables that have their numbers of points in front. */
  #searchCounted(series: Series, runs: Runs): void {
    const { width, phase, values } = series;
    const longest = longestOf(runs);
    for (let p = 0; p + fewestPoints <= values.length && this.#looks > 0; p++) {
      const reach = runs.length[p] as number;
      if (reach < fewestPoints) continue;
      const start = phase + p * width;
      if (!this.#meets(start - mostFront, start + extentOf(reach, longest, width))) continue;
      this.#tryCounts(series, runs, p, start, 1, "little");
      if (series.order !== "big") this.#tryCounts(series, runs, p, start, 2, "little");
      if (series.order !== "little") this.#tryCounts(series, runs, p, start, 2, "big");
    }
  }

  /** Tables of which nothing tells the size but where their runs end. */
  #searchBare(series: Series, runs: Runs): void {
    const { width, phase, values } = series;
    const longest = longestOf(runs);
    for (let p = 0; p + fewestPoints <= values.length && this.#looks > 0; p++) {
      const reach = runs.length[p] as number;
      if (reach < fewestPoints) continue;
      const start = phase + p * width;
      if (!this.#meets(start, start + extentOf(reach, longest, width))) continue;
      const odd = this.#oddPlace(series, p);
      const lead = leadOf(series, runs, p);
      if (lead > overrun || reach > mostPoints) continue;
      for (let n = reach; n >= Math.max(fewestPoints, lead + reach - overrun); n--) {
        const over = lead + reach - n;
        const cost = odd + bitsOfOverrun * over;
        this.#tryCurve(series, p, n, { counts: 0, length: 0, bits: -cost });
        const next = p + n < values.length ? Math.min(mostPoints, runs.length[p + n] as number) : 0;
        for (let m = next; m >= Math.max(fewestPoints, over + next - overrun); m--) {
          this.#tryMap(series, runs, p, n, m, { counts: 0, length: 0, bits: -cost - bitsOfOverrun * (next - m) });
        }
      }
    }
  }

  #oddPlace({ width, phase }: Series, p: number): number {
    return width === 2 && (this.address + phase + p * width) % 2 === 1 ? bitsOfOddPlace : 0;
  }

  /** Numbers of points in front of the run that begins at `p`. */
  #tryCounts(series: Series, runs: Runs, p: number, start: number, width: 1 | 2, order: ByteOrder): void {
    const near = this.#numberAt(start - width, width, order);
    if (near !== 1 && !isCount(near)) return;
    const far = this.#numberAt(start - 2 * width, width, order);
    const odd = this.#oddPlace(series, p);
    const one = { counts: 1, length: width, bits: bitsOfCount[width] - odd } as const;
    const two = { counts: 2, length: 2 * width, bits: 2 * bitsOfCount[width] - odd } as const;
    const reach = runs.length[p] as number;
    if (near !== 1 && near <= reach) this.#tryCurve(series, p, near, one);
    if (!isCount(far)) return;
    // A curve may say that it has one row.
    if (near === 1) {
      if (far <= reach) this.#tryCurve(series, p, far, two);
      return;
    }
    this.#tryMap(series, runs, p, far, near, two);
    if (near !== far) this.#tryMap(series, runs, p, near, far, two);
  }

  #numberAt(at: number, width: 1 | 2, order: ByteOrder): number {
    if (at < 0) return 0;
    const [first, second] = [this.bytes[at] as number, this.bytes[at + 1] as number];
    return width === 1 ? first : order === "big" ? first * 256 + second : first + 256 * second;
  }

  #tryCurve(series: Series, p: number, n: number, front: Front): void {
    const bits = front.bits + axisBits(series, p, n);
    if (bits + mostBitsOf(n, n) < fewestBits) return;
    const start = series.phase + p * series.width;
    this.#tryValues(series, [{ start, points: n }], bits, front, [n]);
  }

  #tryMap(series: Series, runs: Runs, p: number, n: number, m: number, front: Front): void {
    if (n > (runs.length[p] as number) || m > (runs.length[p + n] ?? 0)) return;
    const bits = front.bits + axisBits(series, p, n) + axisBits(series, p + n, m);
    if (bits + mostBitsOf(n * m, n) < fewestBits) return;
    const start = series.phase + p * series.width;
    const axes = [
      { start, points: n },
      { start: start + n * series.width, points: m },
    ];
    this.#tryValues(series, axes, bits, front, n === m ? [n] : [n, m]);
  }

  #tryValues(axis: Series, axes: Candidate["axes"], axesBits: number, front: Front, widths: readonly number[]): void {
    const points = axes.reduce((sum, one) => sum + one.points, 0);
    const count = axes.reduce((product, one) => product * one.points, 1);
    const behind = (axes[0] as Candidate["axes"][number]).start + points * axis.width;
    for (const series of this.#all) {
      const { width, order, phase, values } = series;
      if (order !== undefined && axis.order !== undefined && order !== axis.order) continue;
      // Behind an odd number of bytes one may be left out, so that words stand at even places.
      const padding = (behind - phase) % width;
      if (padding !== 0 && (axis.width === 2 || points % 2 === 0)) continue;
      const start = behind - points * axis.width - front.length;
      const end = behind + padding + count * width;
      if (!this.#meets(start, end)) continue;
      const first = (behind + padding - phase) / width;
      for (const signed of signsOf(values, first, count, width)) {
        for (const columns of widths) {
          this.#looks -= count;
          const smooth = smoothnessOf(values, first, count, columns, signed ? signBit(width) : 0);
          if (!smooth) continue;
          const bits = axesBits + smooth.bits - (padding ? bitsOfPadding : 0) - (signed ? bitsOfSign : 0);
          if (bits < fewestBits) continue;
          const read = values.subarray(first, first + count);
          if (width === 2 && areBytes(read)) continue;
          if (front.counts < 2 && endsInFill(read, Math.min(columns, count >> 1), width)) continue;
          this.#keep({
            start,
            end,
            rows: count / columns,
            columns,
            width,
            signed,
            order: order ?? axis.order,
            values: behind + padding,
            axes,
            pointWidth: axis.width,
            counts: front.counts,
            bits,
            list: smooth.list && front.counts === 0,
          });
        }
      }
    }
  }
}

/** Bytes of two numbers of points. */
const mostFront = 4;

/** The most points of an axis in `runs`. */
function longestOf({ length }: Runs): number {
  let longest = 0;
  for (let p = 0; p < length.length; p++) if ((length[p] as number) > longest) longest = length[p] as number;
  return Math.min(longest, mostPoints);
}

/** Bytes of the largest table whose first axis has `reach` points at most, and the second `longest`. */
function extentOf(reach: number, longest: number, width: 1 | 2): number {
  const points = Math.min(reach, mostPoints);
  return (points + longest) * width + 1 + points * longest * 2;
}

/** How to read `count` values: with a sign besides, only when some would be negative and some not. */
function signsOf(values: Uint16Array, first: number, count: number, width: 1 | 2): readonly boolean[] {
  const sign = signBit(width);
  for (let i = first + 1; i < first + count && i < values.length; i++) {
    if (((values[i] as number) ^ (values[first] as number)) & sign) return eitherSign;
  }
  return withoutSign;
}
const withoutSign: readonly boolean[] = [false];
const eitherSign: readonly boolean[] = [false, true];

function isCount(value: number): boolean {
  return value >= fewestPoints && value <= mostPoints;
}

/** log2 of the factorials up to the longest run. */
const factorialBits = new Float64Array(mostPoints + 2);
for (let i = 2; i < factorialBits.length; i++) factorialBits[i] = (factorialBits[i - 1] as number) + Math.log2(i);
/** Runs that rise are common in data: only half of what they say by themselves is believed, and no more than this. */
const mostRunBits = 12;
/** Steps of points drawn by chance differ from the next by as much as they are long; those of an axis by less. */
const unevenByChance = 0.8;
const mostEvenBits = 8;
const leastEvenBits = -6;

/** What a run of `n` says: that so many values rise one after the other, and that their steps are even. */
function axisBits({ values, width }: Series, p: number, n: number): number {
  if (isText(values, p, n, width)) return notAnAxis;
  let changes = 0;
  let total = 0;
  let last = 0;
  for (let i = 1; i < n; i++) {
    const step = stepAt(values, p + i, width);
    if (i > 1) changes += Math.abs(step - last);
    total += step;
    last = step;
  }
  const uneven = (changes / (n - 2)) * ((n - 1) / total);
  const evenBits = Math.max(leastEvenBits, Math.min(mostEvenBits, (unevenByChance - uneven) * n));
  return Math.min(mostRunBits, ((factorialBits[n] as number) - 1) / 2) + evenBits;
}

/** Letters one after the other are an alphabet, and words of letters and signs are text. */
const notAnAxis = -1000;
function isText(values: Uint16Array, p: number, n: number, width: 1 | 2): boolean {
  let printable = 0;
  for (let i = p; i < p + n; i++) {
    const value = values[i] as number;
    if (isPrintable(value & 0xff)) printable++;
    if (width === 2 && isPrintable(value >> 8)) printable++;
  }
  const step = Math.abs((values[p + n - 1] as number) - (values[p] as number)) / (n - 1);
  return printable === n * width && (width === 2 || step < 1.5);
}

/** The step between two points, with a sign or without: the shorter way round. */
function stepAt(values: Uint16Array, i: number, width: 1 | 2): number {
  const step = Math.abs((values[i] as number) - (values[i - 1] as number));
  return Math.min(step, 256 ** width - step);
}
