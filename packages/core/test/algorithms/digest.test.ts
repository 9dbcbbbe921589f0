import { createHash } from "node:crypto";
import { describe, expect, it } from "vitest";
import { algorithmNamed } from "../../src/algorithms/algorithm.js";
import { type Digest, digestOf, type HashName, portableDigest } from "../../src/algorithms/digest.js";
import { fromHex, toHex } from "../../src/bytes/hex.js";
import { readBigUint } from "../../src/bytes/word.js";
import { randomFrom, seed } from "../reference/random.js";
import { standard } from "./vectors.js";

const platformDigest: Digest = (name) => createHash(name === "SHA-1" ? "sha1" : "sha256");
const digests = [
  { of: "the portable one", digest: portableDigest },
  { of: "node:crypto", digest: platformDigest },
];

// Source: FIPS 180-4 examples and NIST CAVP short messages.
describe.each(digests)("$of", ({ digest }) => {
  const { vectors } = standard("sha-vectors");

  it.each(vectors)("$algorithm of $message, $repeat times", ({ algorithm, message, repeat, digest: expected }) => {
    const bytes = fromHex(message);
    const all = new Uint8Array(bytes.length * (repeat as number));
    for (let i = 0; i < all.length; i++) all[i] = bytes[i % bytes.length] as number;
    const name = algorithm as HashName;
    expect(toHex(digestOf(name, [all], digest))).toBe(expected);
    expect(toHex(digestOf(name, [all.subarray(0, 1), all.subarray(1)], digest))).toBe(expected);
    const running = algorithmNamed(algorithm, { digest }).start();
    if (bytes.length === 1) running.fill(bytes[0] as number, repeat as number);
    else running.update(all);
    expect(running.value()).toBe(readBigUint(fromHex(expected as string), "big"));
  });

  it("are all there", () => expect(vectors.length).toBe(33));

  it("may be asked for its value at any point", () => {
    const data = randomFrom(seed).bytes(1000);
    const running = algorithmNamed("SHA-256", { digest }).start();
    for (let at = 0; at < 1000; at += 100) {
      running.update(data.subarray(at, at + 100));
      const expected = createHash("sha256")
        .update(data.subarray(0, at + 100))
        .digest();
      expect(running.value()).toBe(readBigUint(expected, "big"));
    }
  });
});

it(`the portable hashes are those of node:crypto, seed ${seed}`, () => {
  const random = randomFrom(seed);
  for (let round = 0; round < 60; round++) {
    const pieces = [random.bytes(random.below(300)), random.bytes(random.below(300)), random.bytes(random.below(9))];
    for (const name of ["SHA-1", "SHA-256"] as const) {
      expect(toHex(digestOf(name, pieces))).toBe(toHex(digestOf(name, pieces, platformDigest)));
    }
  }
});

it("a fill of a hash needs a byte and a count", () => {
  const running = algorithmNamed("SHA-1").start();
  expect(() => running.fill(256, 1)).toThrow(RangeError);
  expect(() => running.fill(0, -1)).toThrow(RangeError);
});
