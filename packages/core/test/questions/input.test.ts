import { createHash } from "node:crypto";
import { gzipSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import { Refusal } from "../../src/findings/refusal.js";
import { inputOf } from "../../src/questions/input.js";

// The record of the Intel hexadecimal object file format (1988) with the bytes 01 02 at 0x0100.
const hex = new TextEncoder().encode(":020100000102FA\n:00000001FF\n");
const raw = Uint8Array.from({ length: 300 }, (_, i) => i * 7);
const bounds = (input: ReturnType<typeof inputOf>) => input.decoded.image.bounds;

describe("a file that plays a role", () => {
  it("has its size and its digest as it lies on the disk, packed or not", () => {
    for (const bytes of [hex, raw, gzipSync(hex)]) {
      const { role, name, bytes: size, sha256 } = inputOf("left", "port.hex", bytes);
      const digest = createHash("sha256").update(bytes).digest("hex");
      expect([role, name, size, sha256]).toEqual(["left", "port.hex", bytes.length, digest]);
    }
  });

  it("begins at the base when it is raw, and where it says itself when not", () => {
    expect(bounds(inputOf("read", "a.bin", raw, { base: 0x8000 }))).toEqual({ start: 0x8000, end: 0x812c });
    expect(bounds(inputOf("read", "a.bin.gz", gzipSync(raw), { base: 0x8000 }))).toEqual({
      start: 0x8000,
      end: 0x812c,
    });
    expect(bounds(inputOf("read", "a.bin", raw))).toEqual({ start: 0, end: 300 });
    expect(bounds(inputOf("read", "a.hex", hex, { base: 0x8000 }))).toEqual({ start: 0x100, end: 0x102 });
  });

  it("is refused where it cannot be decoded", () => {
    expect(() => inputOf("read", "a.gz", gzipSync(raw).subarray(0, 40))).toThrow(Refusal);
  });

  it("is hashed by what the platform has for it", () => {
    const asked: string[] = [];
    const digest = (name: "SHA-1" | "SHA-256") => {
      asked.push(name);
      return createHash(name);
    };
    expect(inputOf("read", "a.bin", raw, {}, { digest }).sha256).toBe(inputOf("read", "a.bin", raw).sha256);
    expect(asked).toEqual(["SHA-256"]);
  });
});
