import { readdirSync, readFileSync } from "node:fs";
import { gunzipSync } from "node:zlib";
import nrfIntelHex from "nrf-intel-hex";
import { describe, expect, it } from "vitest";
import {
  CUT,
  DEAD_LINE,
  erasedPage,
  FLIPPED,
  NOISY_BITS,
  weakPage,
  workboatFiles,
} from "../../../test-vectors/build/workboat/files.js";
import { CHANGED } from "../../../test-vectors/build/workboat/fleet.js";
import { fullPart } from "../../../test-vectors/build/workboat/layout.js";
import type { Span } from "../../../test-vectors/build/workboat/memory.js";

// The family is invented, so there is nothing published to hold it against; what is checked is that every file is
// what its name and test-vectors/README.md say.

// Its types say that the module holds the class as `default`; what is imported is the class itself.
const MemoryMap = nrfIntelHex as unknown as typeof nrfIntelHex.default;

const folder = new URL("../../../test-vectors/workboat/", import.meta.url);
const made = workboatFiles();

/** A file of the folder, unpacked. */
function file(name: string): Buffer {
  return gunzipSync(readFileSync(new URL(`${name}.gz`, folder)));
}

/** The whole part that an Intel HEX file describes, decoded by a library that is not ours; erased where nothing is. */
function partOf(hex: Uint8Array): Uint8Array {
  return MemoryMap.fromHex(Buffer.from(hex).toString("latin1"), Number.POSITIVE_INFINITY).slicePad(
    0,
    fullPart.size,
    0xff,
  );
}

/** The addresses at which two files of one size differ. */
function differing(a: Uint8Array, b: Uint8Array): number[] {
  expect(a.length).toBe(b.length);
  return [...a.keys()].filter((at) => a[at] !== b[at]);
}

const within = (at: number, spans: readonly Span[]) => spans.some(({ start, end }) => at >= start && at < end);
const at = (start: number, length: number): Span => ({ start, end: start + length });

const port = partOf(file("port.hex"));
const starboard = file("starboard.bin");
const worn = [fullPart.adaptation, fullPart.faults];

describe("the files in test-vectors/workboat", () => {
  it("are those that the generator makes, byte for byte, and no others", () => {
    const there = readdirSync(folder).filter((name) => name.endsWith(".gz"));
    expect(there.sort()).toEqual([...made.keys()].map((name) => `${name}.gz`).sort());
    for (const [name, bytes] of made) expect(file(name).equals(bytes), name).toBe(true);
  });

  it("take less than 1 MB", () => {
    const sizes = readdirSync(folder).map((name) => readFileSync(new URL(name, folder)).length);
    expect(sizes.reduce((total, size) => total + size, 0)).toBeLessThan(1_000_000);
  });
});

describe("port and starboard", () => {
  const { coding, bank, identity, immobiliser } = fullPart;
  const mirrored = [
    at(coding.start + 3, 1), // side letter
    at(coding.start + 0x18, 6), // firing order
    at(coding.start + 0x1e, 1), // rotation
    at(coding.end - 2, 2), // the checksum that follows
    at(bank.start + 0x10, 96), // trims
    at(bank.start + 0x80, 16), // exhaust sensors
    at(identity.start + 0x20, 10), // serial number
    at(identity.start + 0x2c, 4), // production date
    at(identity.end - 2, 2), // the checksum that follows
    immobiliser,
    ...worn,
  ];
  const unequal = differing(port, starboard);

  it("differ in each of the places that were meant to differ, and nowhere else", () => {
    expect(unequal.filter((address) => !within(address, mirrored))).toEqual([]);
    for (const span of mirrored) expect(unequal.some((address) => within(address, [span]))).toBe(true);
  });

  it("fire in opposite orders and turn in opposite directions", () => {
    const order = (bytes: Uint8Array) => [...bytes.subarray(coding.start + 0x18, coding.start + 0x1e)];
    expect(order(port)).toEqual([1, 5, 3, 6, 2, 4]);
    expect([order(port)[0], ...order(port).slice(1).reverse()]).toEqual(order(starboard));
    expect((port[coding.start + 0x1e] as number) + (starboard[coding.start + 0x1e] as number)).toBe(0xff);
  });
});

describe("what was done to the damaged and the changed files", () => {
  it("one calibration byte, with the checksum that follows", () => {
    const changes = differing(file("starboard-one-byte.bin"), starboard);
    expect(changes[0]).toBe(CHANGED);
    expect(changes.slice(1).every((address) => within(address, [at(fullPart.calibration.end - 4, 4)]))).toBe(true);
    expect(changes).toHaveLength(5);
  });

  it("one bit of the program, with no checksum corrected", () => {
    expect(differing(file("starboard-bad-checksum.bin"), starboard)).toEqual([FLIPPED]);
  });

  it("other program and calibration in most of what is written", () => {
    const other = differing(file("starboard-other-build.bin"), starboard);
    for (const span of [fullPart.program, fullPart.calibration]) {
      const written = starboard.subarray(span.start, span.end).filter((byte) => byte !== 0xff).length;
      expect(other.filter((address) => within(address, [span])).length).toBeGreaterThan(0.4 * written);
    }
    expect(other.filter((address) => within(address, [fullPart.boot, fullPart.machine]))).toEqual([]);
  });

  it("cut, with its bytes exchanged, and with a dead address line", () => {
    expect(Buffer.compare(file("starboard-short.bin"), starboard.subarray(0, CUT))).toBe(0);
    const swapped = file("starboard-swapped.bin");
    expect(starboard.every((byte, i) => byte === swapped[i % 2 === 0 ? i + 1 : i - 1])).toBe(true);
    const line = file("port-line.bin");
    const pages = (bytes: Uint8Array, page: number) =>
      bytes.subarray(page * 2 ** DEAD_LINE, (page + 1) * 2 ** DEAD_LINE);
    for (let page = 0; page < fullPart.size / 2 ** DEAD_LINE; page++) {
      expect(Buffer.compare(pages(line, page), pages(port, page - (page % 2)))).toBe(0);
    }
  });

  it("a clone that differs from port in nothing but what the unit wrote by itself", () => {
    const changes = differing(file("starboard-clone.bin"), port);
    expect(changes.length).toBeGreaterThan(0);
    expect(changes.every((address) => within(address, worn))).toBe(true);
  });

  it("a second read that differs in what the unit wrote, a third with single wrong bits besides", () => {
    expect(differing(file("port-read-2.bin"), port).every((address) => within(address, worn))).toBe(true);
    const third = file("port-read-3.bin");
    const wrong = differing(third, port).filter((address) => !within(address, worn));
    expect(wrong).toHaveLength(NOISY_BITS);
    for (const address of wrong) {
      const flipped = (third[address] as number) ^ (port[address] as number);
      expect(Math.log2(flipped) % 1).toBe(0);
    }
  });

  it("a read-back that is what was written, and one with two bad pages", () => {
    expect(differing(file("readback-good.bin"), port).every((address) => within(address, worn))).toBe(true);
    const failed = file("readback-failed-page.bin");
    const wrong = differing(failed, port).filter((address) => !within(address, worn));
    expect(wrong.every((address) => within(address, [erasedPage, weakPage]))).toBe(true);
    expect(failed.subarray(erasedPage.start, erasedPage.end).every((byte) => byte === 0xff)).toBe(true);
    // In the weak page bits stayed 1: every bit of what was meant is still there.
    const stayed = wrong.filter((address) => within(address, [weakPage]));
    expect(stayed.length).toBeGreaterThan(10);
    for (const address of stayed) {
      expect((failed[address] as number) & (port[address] as number)).toBe(port[address] as number);
    }
  });
});
