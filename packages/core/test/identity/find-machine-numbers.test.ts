import { describe, expect, it } from "vitest";
import { findMachineNumbers } from "../../src/identity/find-machine-numbers.js";
import { Image } from "../../src/image/image.js";
import { seededBytes } from "./seeded-bytes.js";

// Worked examples: 49 CFR part 565 (older text) and Wikibooks, "Vehicle identification number".
const first = "1G4AH59H45G118341";
const second = "1M8GDM9AXKP042788";
const wrong = "1M8GDM9A1KP042788"; // the second with another check digit
const european = "AAAZZZ1AZ6A000001"; // without a check digit

function imageWith(size: number, texts: readonly (readonly [at: number, text: string])[], fill = 0xff): Image {
  const bytes = new Uint8Array(size).fill(fill);
  for (const [at, text] of texts) for (let i = 0; i < text.length; i++) bytes[at + i] = text.charCodeAt(i);
  return Image.of([{ address: 0x8000, bytes }]);
}
const found = (image: Image) =>
  findMachineNumbers(image).found.map(({ number, count, checkDigit }) => `${number} ${count} ${checkDigit}`);

describe("a machine number in an image without a profile", () => {
  it("is found by its check digit, wherever it stands", () => {
    expect(found(imageWith(4096, [[100, first]]))).toEqual([`${first} 1 holds`]);
    expect(found(imageWith(17, [[0, first]]))).toEqual([`${first} 1 holds`]);
    expect(findMachineNumbers(imageWith(4096, [[4079, first]])).found[0]?.addresses).toEqual([0x8000 + 4079]);
  });

  it("is found where it stands twice, with a check digit or without", () => {
    const image = imageWith(4096, [
      [0, european],
      [100, european],
      [200, wrong],
      [300, wrong],
      [400, second],
    ]);
    expect(found(image)).toEqual([`${second} 1 holds`, `${european} 2 not-used`, `${wrong} 2 fails`]);
  });

  it("is not taken for one when nothing speaks for it", () => {
    expect(found(imageWith(4096, [[0, european]]))).toEqual([]);
    expect(found(imageWith(4096, [[0, wrong]]))).toEqual([]);
    for (const text of ["00000000000000000", "11111111111111111", "0123456789ABCDEFG", "ABCDEFGHABCDEFGHA"]) {
      expect(
        found(
          imageWith(4096, [
            [0, text],
            [100, text],
          ]),
        ),
        text,
      ).toEqual([]);
    }
  });

  it("is not cut out of a longer word", () => {
    for (const text of [`${first}7`, `A${first}`, `${first}o`, `I${first}`]) {
      expect(found(imageWith(4096, [[10, text]])), text).toEqual([]);
    }
    expect(found(imageWith(4096, [[10, `:${first}\x00`]]))).toEqual([`${first} 1 holds`]);
  });

  it("is not pieced together across a hole", () => {
    const bytes = (text: string) => Uint8Array.from([...text].map((c) => c.charCodeAt(0)));
    const apart = Image.of([
      { address: 0, bytes: bytes(first.slice(0, 9)) },
      { address: 10, bytes: bytes(first.slice(9)) },
    ]);
    expect(found(apart)).toEqual([]);
    expect(
      found(
        Image.of([
          { address: 0, bytes: bytes(first.slice(0, 9)) },
          { address: 9, bytes: bytes(first.slice(9)) },
        ]),
      ),
    ).toEqual([`${first} 1 holds`]);
  });

  it("is not found in random bytes", () => {
    expect(found(Image.of([{ address: 0, bytes: seededBytes(1 << 20, 7) }]))).toEqual([]);
  });
});

describe("an image full of such words", () => {
  // Every word another number, most of them without a check digit that holds.
  const size = 2 ** 22;
  const bytes = new Uint8Array(size).fill(0x20);
  for (let at = 0, n = 0; at + 18 <= size; at += 18, n++) {
    const word = `ABCDE${n.toString(36).toUpperCase().replace(/[IOQ]/g, "Z").padStart(8, "0")}${String(n % 10000).padStart(4, "0")}`;
    for (let i = 0; i < 17; i++) bytes[at + i] = word.charCodeAt(i);
  }

  it("is gone through once and answered in few lines", () => {
    const { found: list, more } = findMachineNumbers(Image.of([{ address: 0, bytes }]));
    expect(list.length).toBeLessThanOrEqual(16);
    expect(more).toBe(true);
    for (const { addresses } of list) expect(addresses.length).toBeLessThanOrEqual(8);
  });
});
