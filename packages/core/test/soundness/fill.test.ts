import { expect, it } from "vitest";
import { contentSample } from "../../src/soundness/fill.js";

it.each([65536, 40960, 1048576])("favours no offset in a word or line in a sample of %i bytes of content", (length) => {
  const sample = contentSample(new Uint8Array(length / 64).fill(1), length, 4096);
  expect(sample.length).toBe(4096);
  const counts = new Array<number>(64).fill(0);
  for (const offset of sample) counts[offset % 64] = (counts[offset % 64] as number) + 1;
  // 64 of each are expected; an even step of a power of two would leave most of them without any.
  expect(Math.min(...counts)).toBeGreaterThan(32);
  expect(Math.max(...counts)).toBeLessThan(96);
  expect([...sample].every((offset, i) => i === 0 || offset > (sample[i - 1] as number))).toBe(true);
});

it("holds every offset where there are no more than were asked for", () =>
  expect([...contentSample(Uint8Array.of(0, 1, 1), 192, 4096)]).toEqual(Array.from({ length: 128 }, (_, i) => 64 + i)));
