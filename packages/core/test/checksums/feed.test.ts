import fc from "fast-check";
import { expect, it } from "vitest";
import { algorithmOf } from "../../src/algorithms/algorithm.js";
import type { Image } from "../../src/image/image.js";
import { Image as Images } from "../../src/image/image.js";
import { apart, content, measureOne } from "./measured.js";

type Gaps = "refuse" | "leave-out" | { readonly fill: number };
type Inside = "leave-out" | { readonly fill: number };
interface Case {
  readonly over: readonly { readonly start: number; readonly length: number }[];
  readonly gaps: Gaps;
  readonly inside: Inside;
  readonly at: number;
  readonly reversedWords?: 2 | 4 | 8;
}

/** The slow twin: every address asked one by one, all bytes put in one list, words turned over at the end. */
function fedBytes(image: Image, { over, gaps, inside, at, reversedWords }: Case): number[] | undefined {
  const fed: number[] = [];
  for (const { start, length } of over) {
    for (let address = start; address < start + length; address++) {
      const own = address >= at && address < at + 4;
      const choice = own ? inside : gaps;
      const byte = own ? undefined : image.byteAt(address);
      if (byte !== undefined) fed.push(byte);
      else if (choice === "refuse") return undefined;
      else if (choice !== "leave-out") fed.push(choice.fill);
    }
  }
  if (!reversedWords) return fed;
  if (fed.length % reversedWords !== 0) return undefined;
  return fed.map((_, i) => fed[i - (i % reversedWords) + reversedWords - 1 - (i % reversedWords)] as number);
}

const fill = fc.record({ fill: fc.integer({ min: 0, max: 255 }) });
const range = fc.record({ start: fc.integer({ min: 0, max: 300 }), length: fc.integer({ min: 1, max: 200 }) });
const cases = fc.record(
  {
    over: fc.array(range, { minLength: 1, maxLength: 6 }).map(apart),
    gaps: fc.oneof(fc.constantFrom<Gaps>("refuse", "leave-out"), fill),
    inside: fc.oneof(fc.constant<Inside>("leave-out"), fill),
    at: fc.integer({ min: 0, max: 400 }),
    reversedWords: fc.constantFrom<2 | 4 | 8>(2, 4, 8),
  },
  { requiredKeys: ["over", "gaps", "inside", "at"] },
);
const images = fc
  .uniqueArray(fc.record({ block: fc.integer({ min: 0, max: 7 }), skip: fc.integer({ min: 0, max: 20 }) }), {
    selector: ({ block }) => block,
    minLength: 3,
  })
  .map((blocks) =>
    Images.of(blocks.map(({ block, skip }) => ({ address: 64 * block + skip, bytes: content(64 - 2 * skip, block) }))),
  );

it("takes in what the slow twin takes in", () => {
  const computed = { known: 0, unknown: 0 };
  fc.assert(
    fc.property(images, cases, (image, choice) => {
      const { at, ...rule } = choice;
      const stored = { at, order: "big" };
      const facts = measureOne({ algorithm: "CRC-32/ISO-HDLC", ...rule, stored }, image);
      const bytes = fedBytes(image, choice);
      if (!bytes || bytes.length === 0 || !image.read({ start: at, end: at + 4 })) {
        computed.unknown++;
        expect(facts.status).toBe("absent");
        return;
      }
      const running = algorithmOf("CRC-32/ISO-HDLC").start();
      running.update(Uint8Array.from(bytes));
      computed.known++;
      expect(facts.computed).toBe(running.value().toString(16).padStart(8, "0"));
    }),
    { numRuns: 500 },
  );
  expect(Math.min(computed.known, computed.unknown)).toBeGreaterThan(50);
});
