import { type Series, signBit } from "./series.js";

/** Fewest and most points of an axis. */
export const fewestPoints = 4;
export const mostPoints = 32;

/** Strictly rising or falling runs of a series, read with a sign or without. */
export interface Runs {
  /** How many values from each on rise or fall all the way: the longest of the four ways to see it, at most 33. */
  readonly length: Uint8Array;
  /** Which way: bit 0 falling, bit 1 with a sign. */
  readonly sense: Uint8Array;
}

/** The runs of `series`, in one pass from the end. */
export function runsOf({ values, width }: Series): Runs {
  const count = values.length;
  const length = new Uint8Array(count);
  const sense = new Uint8Array(count);
  const sign = signBit(width);
  const longest = mostPoints + 1;
  // One after the other rather than together: most searches are short, and end before any of this is compiled.
  let rises = 0;
  let falls = 0;
  let signedRises = 0;
  let signedFalls = 0;
  let next = 0;
  for (let i = count - 1; i >= 0; i--) {
    const value = values[i] as number;
    const up = i + 1 < count && value < next;
    const down = i + 1 < count && value > next;
    const crosses = ((value ^ next) & sign) !== 0;
    rises = up ? rises + 1 : 1;
    falls = down ? falls + 1 : 1;
    signedRises = (crosses ? down : up) ? signedRises + 1 : 1;
    signedFalls = (crosses ? up : down) ? signedFalls + 1 : 1;
    const plain = Math.max(falls, rises);
    const signed = Math.max(signedFalls, signedRises);
    const most = Math.max(signed, plain);
    length[i] = Math.min(most, longest);
    sense[i] = signed > plain ? (signedFalls > signedRises ? 3 : 2) : falls > rises ? 1 : 0;
    next = value;
  }
  return { length, sense };
}

/** How many values before `at` belong to the run that goes on from there, at most 3. */
export function leadOf({ values, width }: Series, { sense }: Runs, at: number): number {
  const way = sense[at] as number;
  const turned = (way & 2 ? signBit(width) : 0) ^ (way & 1 ? 0xffff : 0);
  let lead = 0;
  while (lead < 3 && at > lead) {
    const [before, behind] = [values[at - lead - 1] as number, values[at - lead] as number];
    if ((before ^ turned) >= (behind ^ turned)) break;
    lead++;
  }
  return lead;
}

/** A run of more than twice as many values holds all that stand from one multiple of this to the next. */
const stride = 4;

/** The longest run in `series`, up to the most points of an axis; 8 where none is longer. Looks at a few values of each run. */
export function longestRunOf({ values, width }: Series): number {
  const sign = signBit(width);
  let longest = 2 * stride;
  for (let at = 0; at + stride < values.length && longest < mostPoints; at += stride) {
    const first = values[at] as number;
    const second = values[at + 1] as number;
    const third = values[at + 2] as number;
    const turns = second > first !== third > second;
    // Most places are done with here. A sign makes no difference while all have the same.
    if (turns && (((first ^ second) | (second ^ third)) & sign) === 0) continue;
    for (const turned of width === 1 ? signsOfBytes : signsOfWords) {
      const up = ((values[at + 1] as number) ^ turned) > ((values[at] as number) ^ turned);
      let end = at + 1;
      while (end < values.length && goes(values, end, turned, up)) end++;
      if (end - at <= stride) continue;
      let start = at;
      while (start > 0 && goes(values, start, turned, up)) start--;
      longest = Math.max(longest, end - start);
    }
  }
  return Math.min(longest, mostPoints);
}
const signsOfBytes = [0, signBit(1)] as const;
const signsOfWords = [0, signBit(2)] as const;

/** Whether the value at `at` is above the one before it, or below, as `up` says. */
function goes(values: Uint16Array, at: number, turned: number, up: boolean): boolean {
  const before = (values[at - 1] as number) ^ turned;
  const here = (values[at] as number) ^ turned;
  return up ? here > before : here < before;
}
