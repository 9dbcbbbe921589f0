import { describe, expect, it } from "vitest";
import { relationsIn, type Twins } from "../../src/draft/relations.js";
import { scatteredFrom, seed } from "../reference/random.js";

const random = scatteredFrom(seed);

/** Two pairs of 256 bytes that are the same in both units but for what `change` does to the right one. */
function pairs(change: (right: Uint8Array, left: Uint8Array) => void, count = 2): Twins[] {
  return Array.from({ length: count }, () => {
    const left = random.bytes(256);
    const right = left.slice();
    change(right, left);
    return { left, right };
  });
}
const differing = (twins: readonly Twins[]) =>
  Array.from({ length: 256 }, (_, i) => i).filter((i) => twins.some(({ left, right }) => left[i] !== right[i]));
const found = (twins: readonly Twins[]) => relationsIn(twins, differing(twins));

describe(`relations between two units, seed ${seed}`, () => {
  it("elements from last to first", () => {
    const twins = pairs((right, left) => {
      for (let k = 0; k < 6; k++) right.set(left.subarray(64 + 8 * k, 72 + 8 * k), 64 + 8 * (5 - k));
    });
    expect(found(twins)).toEqual([
      { kind: "reordered", over: { start: 64, end: 112 }, element: 8, order: [5, 4, 3, 2, 1, 0] },
    ]);
  });

  it("two places that change", () => {
    const twins = pairs((right, left) => {
      right.set(left.subarray(32, 48), 160);
      right.set(left.subarray(160, 176), 32);
    });
    expect(found(twins)).toEqual([{ kind: "exchanged", over: { start: 32, end: 48 }, with: { start: 160, end: 176 } }]);
  });

  it("every bit the other way", () => {
    const twins = pairs((right) => {
      for (let at = 100; at < 104; at++) right[at] = 255 - (right[at] as number);
    });
    expect(found(twins)).toEqual([{ kind: "complement", over: { start: 100, end: 104 } }]);
  });

  it("nothing in what differs at random, in one pair or in several", () => {
    for (const count of [1, 2, 5]) {
      for (let round = 0; round < 20; round++) {
        const twins = pairs((right) => right.set(random.bytes(40), 100), count);
        expect(found(twins)).toEqual([]);
      }
    }
  });

  it("nothing that holds in one pair and not in the other", () => {
    let round = 0;
    const twins = pairs((right, left) => {
      if (round++ === 0) for (let k = 0; k < 6; k++) right.set(left.subarray(64 + 8 * k, 72 + 8 * k), 64 + 8 * (5 - k));
      else right.set(random.bytes(48), 64);
    });
    expect(found(twins)).toEqual([]);
  });

  it("nothing where nothing differs, and nothing without a pair", () => {
    expect(
      relationsIn(
        pairs(() => {}),
        [],
      ),
    ).toEqual([]);
    expect(relationsIn([], [1, 2])).toEqual([]);
  });
});
