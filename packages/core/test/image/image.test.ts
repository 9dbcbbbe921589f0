import fc from "fast-check";
import { expect, it } from "vitest";
import { Image } from "../../src/image/image.js";

it("counts the pieces of a span as often as it gives them", () => {
  const steps = fc.array(fc.tuple(fc.nat(3), fc.integer({ min: 1, max: 3 })), { maxLength: 8 });
  fc.assert(
    fc.property(steps, fc.nat(60), fc.nat(60), (parts, a, b) => {
      let at = 0;
      const image = Image.of(
        parts.map(([gap, length]) => {
          const address = at + gap;
          at = address + length;
          return { address, bytes: new Uint8Array(length) };
        }),
      );
      const span = { start: Math.min(a, b), end: Math.max(a, b) };
      expect(image.piecesIn(span)).toBe(image.within(span).length);
    }),
  );
});
