import type { Family, Stretch } from "./family.js";

/** How a byte varies between the reads. */
export const ways = {
  constant: "the same in all reads",
  volatile: "differs between reads of one unit",
  side: "one value on each side",
  release: "goes with the software",
  machine: "the same in both units of a machine",
  unit: "differs from unit to unit",
} as const;
export type Way = keyof typeof ways;
const order = Object.keys(ways) as Way[];

/** How each byte of a stretch varies. */
export class Variation {
  constructor(
    readonly start: number,
    readonly codes: Uint8Array,
    /** 1 where every read holds the erased value. */
    readonly erased: Uint8Array,
  ) {}

  get end(): number {
    return this.start + this.codes.length;
  }

  at(address: number): Way {
    return order[this.codes[address - this.start] as number] as Way;
  }

  isErased(address: number): boolean {
    return this.erased[address - this.start] === 1;
  }
}

/** Units by the software that they hold, as one number each: the same number, the same software. */
export type Releases = readonly number[];

/** How the bytes of the family vary, stretch by stretch, and which units hold the same software. */
export function variationOf(family: Family): {
  readonly variations: readonly Variation[];
  readonly releases: Releases;
} {
  const releases = releasesOf(family);
  return { variations: family.stretches.map((stretch) => variationIn(family, stretch, releases)), releases };
}

function variationIn({ units, pairs, erased }: Family, { start, length, contents }: Stretch, releases: Releases) {
  const codes = new Uint8Array(length);
  const blank = new Uint8Array(length);
  const firsts = units.map(({ reads }) => contents[reads[0]] as Uint8Array);
  const first = contents[0] as Uint8Array;
  for (let at = 0; at < length; at++) {
    const byte = first[at] as number;
    if (contents.every((content) => content[at] === byte)) {
      if (byte === erased) blank[at] = 1;
      continue;
    }
    codes[at] = order.indexOf(wayAt(at));
  }
  return new Variation(start, codes, blank);

  function wayAt(at: number): Way {
    const moves = units.some(({ reads }) => reads.some((read) => contents[read]?.[at] !== contents[reads[0]]?.[at]));
    if (moves) return "volatile";
    const value = (unit: number) => firsts[unit]?.[at] as number;
    const [pair] = pairs;
    // In one pair every difference is one value on each side: that says nothing of sides.
    if (
      pair &&
      pairs.length > 1 &&
      value(pair.left) !== value(pair.right) &&
      pairs.every(({ left, right }) => value(left) === value(pair.left) && value(right) === value(pair.right))
    ) {
      return "side";
    }
    if (
      new Set(releases).size > 1 &&
      units.every((_, a) => value(a) === value(releases.indexOf(releases[a] as number)))
    )
      return "release";
    if (pairs.length > 0 && pairs.every(({ left, right }) => value(left) === value(right))) return "machine";
    return "unit";
  }
}

const blockSize = 256;
/** A software differs from another over longer runs of blocks than any store of a unit's own is likely to. */
const fewestBlocks = 8;
const densely = blockSize / 4;

/**
 * Which units hold the same software: they are alike wherever long stretches differ densely between others. The two
 * units of a pair hold the same, whatever else they differ in.
 */
function releasesOf({ units, pairs, stretches }: Family): Releases {
  let numbers = units.map(() => 0);
  for (const { length, contents } of stretches) {
    const firsts = units.map(({ reads }) => contents[reads[0]] as Uint8Array);
    let run = 0;
    let last = "";
    for (let at = 0; at + blockSize <= length; at += blockSize) {
      const alike = partitionAt(firsts, at);
      const key = alike.join();
      run = key === last && alike.some((number) => number > 0) ? run + 1 : 1;
      last = key;
      const mirrored = pairs.every(({ left, right }) => alike[left] === alike[right]);
      if (run === fewestBlocks && mirrored) numbers = product(numbers, alike);
    }
  }
  return numbers;
}

/** Which contents are the same in the block at `at`; all the same where they differ thinly. */
function partitionAt(contents: readonly Uint8Array[], at: number): number[] {
  const first = contents[0] as Uint8Array;
  let differing = 0;
  for (let i = at; i < at + blockSize; i++) if (contents.some((content) => content[i] !== first[i])) differing++;
  if (differing < densely) return contents.map(() => 0);
  const keys = contents.map((content) => String.fromCharCode(...content.subarray(at, at + blockSize)));
  const kinds = [...new Set(keys)];
  return keys.map((key) => kinds.indexOf(key));
}

function product(a: readonly number[], b: readonly number[]): number[] {
  const keys = a.map((number, i) => `${number}/${b[i]}`);
  const kinds = [...new Set(keys)];
  return keys.map((key) => kinds.indexOf(key));
}
