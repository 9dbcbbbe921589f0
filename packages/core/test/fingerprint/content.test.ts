import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fromHex, toHex } from "../../src/bytes/hex.js";
import { contentDigest } from "../../src/fingerprint/content.js";
import { Image } from "../../src/image/image.js";
import { contentCase, seed } from "./arbitraries.js";
import { imageOf, vectorsOf } from "./vectors.js";

describe("vectors, made by the second implementation", () => {
  it.each(vectorsOf("contents").map((vector) => [vector.id, vector] as const))("%s", (_id, { input, expected }) => {
    expect(contentDigest(imageOf(input.segments)) ?? null).toBe(expected.content);
  });
});

it("is the written rows with their place, hashed by another SHA-256", () => {
  const image = imageOf([
    [0x104, "010203"],
    [0x110, `${"ff".repeat(15)}05`],
    [0x80000000, "07"],
  ]);
  const stream = [
    toHex(new TextEncoder().encode("assay content 1\n")),
    "0000000000000100",
    "0000000000000020",
    `ffffffff010203${"ff".repeat(9)}`,
    `${"ff".repeat(15)}05`,
    "0000000080000000",
    "0000000000000010",
    `07${"ff".repeat(15)}`,
  ];
  const digest = createHash("sha256")
    .update(Buffer.from(stream.join(""), "hex"))
    .digest("hex");
  expect(contentDigest(image)).toBe(digest);
});

it(`does not know rows or bytes of FF from such that are left out (seed ${seed})`, () => {
  fc.assert(
    fc.property(contentCase, ({ segments }) => {
      const image = imageOf(segments);
      const base = Math.floor((image.bounds?.start ?? 0) / 64) * 64;
      const end = Math.min(base + 512, 2 ** 32);
      const raw = image.filled([{ start: base, end }], 0xff);
      const bytes = raw.segments.flatMap(({ address, bytes: all }) =>
        [...all].flatMap((byte, i) => (byte === 0xff ? [] : [{ address: address + i, bytes: Uint8Array.of(byte) }])),
      );
      expect(contentDigest(raw)).toBe(contentDigest(image));
      expect(contentDigest(Image.of(bytes))).toBe(contentDigest(image));
    }),
    { seed, numRuns: 300 },
  );
});

it(`sees every byte that is not FF, and its place (seed ${seed})`, () => {
  fc.assert(
    fc.property(contentCase, fc.nat(), fc.integer({ min: 1, max: 255 }), ({ segments }, pick, difference) => {
      const image = imageOf(segments);
      fc.pre(image.length > 0);
      const known = image.spans.flatMap(({ start, end }) => Array.from({ length: end - start }, (_, i) => start + i));
      const at = known[pick % known.length] as number;
      const parts = image.segments.map(({ address, bytes }) => ({
        address,
        bytes: bytes.map((byte, i) => (address + i === at ? byte ^ difference : byte)),
      }));
      expect(contentDigest(Image.of(parts))).not.toBe(contentDigest(image));
      const digest = contentDigest(image);
      if (digest && (image.bounds?.end ?? 0) < 2 ** 32) expect(contentDigest(image.movedBy(1))).not.toBe(digest);
    }),
    { seed, numRuns: 300 },
  );
});

it("does not walk the addresses between what is there", () => {
  const image = imageOf([
    [0, "00"],
    [2 ** 32 - 1, "00"],
  ]);
  expect(contentDigest(image)).toMatch(/^[0-9a-f]{64}$/);
});

it("is shown in the specification, byte by byte", () => {
  const text = readFileSync(new URL("../../docs/fingerprint.md", import.meta.url), "utf8");
  const example = vectorsOf("contents").find(({ id }) => id === "one-row");
  expect(text).toContain(example?.expected.content);
  const section = text.slice(text.indexOf("## Content digest"));
  const shown = [...section.matchAll(/^0000[0-9a-f]{4} {2}((?:[0-9a-f]{2} ?)+)/gm)].map(([, row]) =>
    (row as string).replaceAll(" ", ""),
  );
  expect(
    createHash("sha256")
      .update(fromHex(shown.join("")))
      .digest("hex"),
  ).toBe(example?.expected.content);
});
