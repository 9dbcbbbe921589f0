import * as fleet from "../../../../test-vectors/build/workboat/fleet.js";
import { memoryOf, type Unit } from "../../../../test-vectors/build/workboat/unit.js";
import { planSeek } from "../../src/discover/plan.js";
import type { FoundChecksum } from "../../src/discover/result.js";
import { seekChecksums } from "../../src/discover/seek.js";
import type { DraftRead } from "../../src/draft/family.js";
import { Image } from "../../src/image/image.js";

/** Reads of the invented workboat's family, made by its generator. */

export function readOf(name: string, bytes: Uint8Array, address = 0): DraftRead {
  return { name, image: Image.of([{ address, bytes }]) };
}

export const bytesOf = (unit: Unit): Uint8Array => memoryOf(unit).bytes;
export const ranOn = (unit: Unit, worn: string): Uint8Array => fleet.ranOn(unit, worn).bytes;

const first = { port: fleet.port, starboard: fleet.starboard };
const second = fleet.secondBoat;

/** The pairs of two boats with different software. */
export const fourReads: readonly DraftRead[] = [
  readOf("first-port", bytesOf(first.port)),
  readOf("first-starboard", bytesOf(first.starboard)),
  readOf("second-port", bytesOf(second.port)),
  readOf("second-starboard", bytesOf(second.starboard)),
];
export const twoPairs = [
  [0, 1],
  [2, 3],
] as const;

/** The same units and two of them once more, after they had run. */
export const sixReads: readonly DraftRead[] = [
  ...fourReads,
  readOf("first-port-again", ranOn(first.port, "first port again")),
  readOf("second-starboard-again", ranOn(second.starboard, "second starboard again")),
];
export const readAgain = [
  [0, 4],
  [3, 5],
] as const;

/** What a search finds in `reads`: by the dozen likeliest families of 16 bits or more, to keep the test short. */
export function searched(reads: readonly DraftRead[], most = 12, least = 16): readonly FoundChecksum[] {
  const { families } = planSeek([Image.empty]);
  const chosen = families.flatMap(({ width }, i) => (width >= least ? [i] : [])).slice(0, most);
  const search = seekChecksums(
    reads.map(({ image }) => image),
    { families: chosen },
  );
  for (;;) {
    const step = search.next();
    if (step.done) return step.value.found;
  }
}
