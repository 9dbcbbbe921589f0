import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Digest } from "../../src/algorithms/digest.js";
import { toHex } from "../../src/bytes/hex.js";
import { compareFingerprints, fingerprintOf, fingerprintsOf, type Masked } from "../../src/fingerprint/fingerprint.js";
import { recipeOf } from "../../src/fingerprint/recipe.js";
import { Image } from "../../src/image/image.js";
import { fingerprintCase, seed } from "./arbitraries.js";
import { imageOf, partOf, plainResult, vectorsOf } from "./vectors.js";

const part = (more: Partial<Masked> = {}): Masked => ({
  name: "program",
  spans: [{ start: 0x1000, end: 0x1100 }],
  masked: [{ start: 0x1010, end: 0x1014 }],
  erased: null,
  ...more,
});
const content = Uint8Array.from({ length: 256 }, (_, i) => (i * 7 + 1) % 256);
const full = Image.of([{ address: 0x1000, bytes: content }]);
const computed = (image: Image, of: Masked) => {
  const result = fingerprintOf(image, of);
  if (result.kind !== "computed") throw new Error(`expected a fingerprint, got ${JSON.stringify(result)}`);
  return result.fingerprint;
};

describe("vectors, made by the second implementation", () => {
  it.each(vectorsOf("fingerprints").map((vector) => [vector.id, vector] as const))("%s", (_id, vector) => {
    const of = partOf(vector.input.part);
    expect(plainResult(fingerprintOf(imageOf(vector.input.segments), of), of)).toEqual(vector.expected);
  });
});

describe("the stream", () => {
  it("is the recipe's text and the content, hashed by another SHA-256", () => {
    const text = "assay fingerprint 1\n4096 16\n4116 236\ncontent 252\n";
    const hash = createHash("sha256").update(text).update(content.subarray(0, 16)).update(content.subarray(20));
    const fingerprint = computed(full, part());
    expect(recipeOf(part()).text).toBe(text);
    expect(fingerprint.recipe).toBe(createHash("sha256").update(text).digest("hex"));
    expect(fingerprint.digest).toBe(hash.digest("hex"));
    expect(fingerprint.covered).toEqual([
      { start: 0x1000, end: 0x1010 },
      { start: 0x1014, end: 0x1100 },
    ]);
  });

  it("takes in a long hole as so many erased bytes", () => {
    const length = 3 * 4096 + 5;
    const image = Image.of([
      { address: 0, bytes: Uint8Array.of(1) },
      { address: length + 1, bytes: Uint8Array.of(2) },
    ]);
    const fingerprint = computed(image, part({ spans: [{ start: 0, end: length + 2 }], masked: [], erased: 0xff }));
    const hash = createHash("sha256").update(`assay fingerprint 1\n0 ${length + 2}\ncontent ${length + 2}\n`);
    expect(fingerprint.digest).toBe(
      hash.update("\x01").update(Buffer.alloc(length, 0xff)).update("\x02").digest("hex"),
    );
    expect(fingerprint.filled).toBe(length);
  });
});

it("comes to the same through small and large pieces, and through a platform's own SHA-256", () => {
  const image = Image.of(
    [700, 1, 511, 512, 513, 3000, 4096, 4097, 30, 5, 9000, 2].map((length, i) => ({
      address: i * 10_000,
      bytes: Uint8Array.from({ length }, (_, at) => (at * 31 + i) % 251),
    })),
  );
  const whole = { start: 0, end: 111_002 };
  const flat = image.filled([whole], 0xff).read(whole) as Uint8Array;
  const of = part({ spans: [whole], masked: [{ start: 20_100, end: 20_600 }], erased: 0xff });
  const hash = createHash("sha256").update("assay fingerprint 1\n0 20100\n20600 90402\ncontent 110502\n");
  const expected = hash.update(flat.subarray(0, 20_100)).update(flat.subarray(20_600)).digest("hex");
  expect(computed(image, of).digest).toBe(expected);
  expect(fingerprintOf(image, of, () => createHash("sha256"))).toEqual(fingerprintOf(image, of));
});

describe("what counts and what does not", () => {
  const run = { seed, numRuns: 300 };

  it(`not how the image is cut into segments (seed ${seed})`, () => {
    fc.assert(
      fc.property(fingerprintCase, fc.integer({ min: 1, max: 9 }), ({ segments, part: input }, size) => {
        const pieces = segments.flatMap(([address, digits]) => {
          const cut: [number, string][] = [];
          for (let i = 0; i < digits.length; i += 2 * size) cut.push([address + i / 2, digits.slice(i, i + 2 * size)]);
          return cut;
        });
        const of = partOf(input);
        expect(fingerprintOf(imageOf(pieces), of)).toEqual(fingerprintOf(imageOf(segments), of));
      }),
      run,
    );
  });

  it(`not what is outside, masked, or erased and left out; every other byte (seed ${seed})`, () => {
    const erased = 0xff;
    fc.assert(
      fc.property(fingerprintCase, fc.nat(), ({ segments, part: input }, pick) => {
        const of = partOf({ ...input, erased });
        const image = imageOf(segments);
        const result = fingerprintOf(image, of);
        fc.pre(result.kind === "computed");
        const { covered } = result.fingerprint;
        const inside = (at: number) => covered.some(({ start, end }) => at >= start && at < end);
        const spread: [number, number][] = image.segments.flatMap(({ address, bytes }) =>
          [...bytes].map((byte, i): [number, number] => [address + i, byte]),
        );
        const rebuilt = (bytes: readonly (readonly [number, number])[]) =>
          Image.of(bytes.map(([address, byte]) => ({ address, bytes: Uint8Array.of(byte) })));
        const without = spread.filter(([at, byte]) => inside(at) && byte !== erased);
        fc.pre(without.length > 0);
        expect(computed(rebuilt(without), of).digest).toBe(result.fingerprint.digest);
        const disturbed = spread.map(([at, byte]) => [at, inside(at) ? byte : byte ^ 0x5a] as const);
        expect(computed(rebuilt(disturbed), of).digest).toBe(result.fingerprint.digest);
        const [changed] = without[pick % without.length] as [number, number];
        const other = spread.map(([at, byte]) => [at, at === changed ? byte ^ 1 : byte] as const);
        expect(compareFingerprints(result.fingerprint, computed(rebuilt(other), of))).toBe("different");
      }),
      run,
    );
  });
});

describe("comparison", () => {
  const mine = computed(full, part());
  const other = Image.of([{ address: 0x1000, bytes: content.with(0x20, 0) }]);

  it("is the same for the same content under the same recipe, whatever the part is called", () => {
    expect(compareFingerprints(mine, computed(full, part({ name: "software" })))).toBe("same");
  });
  it("is different for another content under the same recipe", () => {
    expect(compareFingerprints(mine, computed(other, part()))).toBe("different");
  });
  it.each([
    ["another mask", full, part({ masked: [] })],
    ["another end", full, part({ spans: [{ start: 0x1000, end: 0x10ff }] })],
    ["another address", full.movedBy(16), part({ spans: [{ start: 0x1010, end: 0x1110 }], masked: [] })],
  ])("is unknown, never different, with %s", (_what, image, of) => {
    expect(compareFingerprints(mine, computed(image, of))).toBe("unknown");
  });
});

describe("limits", () => {
  it.each([
    [{ spans: [{ start: 0, end: 2 ** 32 + 1 }] }],
    [{ spans: [{ start: 5, end: 4 }] }],
    [{ spans: [{ start: 0.5, end: 4 }] }],
    [{ masked: [{ start: -1, end: 4 }] }],
    [{ masked: [{ start: 0, end: Number.NaN }] }],
  ])("refuses %j", (more) => expect(() => fingerprintOf(full, part(more))).toThrow(/^span: expected/));

  it.each([-1, 256, 1.5, Number.NaN])("refuses %d as an erased byte", (erased) => {
    expect(() => fingerprintOf(full, part({ erased }))).toThrow(/^erased: expected null or a byte/);
  });

  it("does not walk the addresses of what is not there", () => {
    const everything = part({ spans: [{ start: 0, end: 2 ** 32 }], masked: [] });
    const result = fingerprintOf(full, everything);
    expect(result).toMatchObject({ kind: "missing", missing: [{ start: 0, end: 0x1000 }, { start: 0x1100 }] });
    expect(fingerprintOf(Image.empty, { ...everything, erased: 0xff })).toMatchObject({ kind: "missing" });
  });
});

describe("the specification", () => {
  const text = readFileSync(new URL("../../docs/fingerprint.md", import.meta.url), "utf8");
  const worked = vectorsOf("fingerprints").find(({ id }) => id === "worked-example");
  if (worked?.expected.kind !== "computed") throw new Error("expected the vector of the worked example");
  const { expected, input } = worked;

  it.each([expected.recipe, expected.digest, expected.readable])("holds %s of its worked example", (value) => {
    expect(text).toContain(value);
  });

  it("shows the example's stream byte by byte", () => {
    const shown = [...text.matchAll(/^0000[0-9a-f]{4} {2}((?:[0-9a-f]{2} ?)+)/gm)].map(([, row]) =>
      (row as string).replaceAll(" ", ""),
    );
    const stream = toHex(new TextEncoder().encode(expected.recipeText)) + (input.segments[0]?.[1].slice(0, 26) ?? "");
    expect(shown.join("").slice(0, stream.length)).toBe(stream);
    expect(createHash("sha256").update(Buffer.from(stream, "hex")).digest("hex")).toBe(expected.digest);
  });
});

it("hashes parts of the same bytes once, and only those", () => {
  const bytes = Uint8Array.from({ length: 3000 }, (_, i) => i & 0xff);
  const image = Image.of([{ address: 0, bytes }]);
  const all = [{ start: 0, end: 4000 }];
  const parts: readonly Masked[] = [
    { name: "program", spans: all, masked: [], erased: 0xff },
    {
      name: "in two spans",
      spans: [
        { start: 2000, end: 4000 },
        { start: 0, end: 2000 },
      ],
      masked: [],
      erased: 0xff,
    },
    { name: "erased to another value", spans: all, masked: [], erased: 0 },
    { name: "with a mask", spans: all, masked: [{ start: 5, end: 6 }], erased: 0xff },
  ];
  let hashed = 0;
  const counting: Digest = () => {
    const hash = createHash("sha256");
    return {
      update(more) {
        if (more.length > 1000) hashed++;
        hash.update(more);
      },
      copy: () => hash.copy(),
      digest: () => hash.digest(),
    };
  };
  const together = fingerprintsOf(image, parts, counting);
  expect(together).toEqual(parts.map((one) => fingerprintOf(image, one)));
  const digests = together.map((result) => result.kind === "computed" && result.fingerprint.digest);
  expect(new Set(digests).size).toBe(3);
  expect(hashed).toBe(3);
});
