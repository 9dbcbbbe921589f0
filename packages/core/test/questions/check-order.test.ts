import { describe, expect, it } from "vitest";
import { algorithmNamed } from "../../src/algorithms/algorithm.js";
import { askCheck } from "../../src/questions/check.js";
import { content, profileWith } from "../checksums/measured.js";
import { fileAt, fileOf, profileAt } from "./files.js";

// The invented workboat, as if it had been read through a reader, a cable or a script that is at fault. Its content is
// mostly tables and invented code, of which statistics tell the order only sometimes; its checksums always do.
const profile = profileAt("workboat/profile.json");
const good = fileAt("read", "workboat/port-read-2.bin.gz").decoded.image.read({ start: 0, end: 0x40000 }) as Uint8Array;

type Order = (offset: number) => number;
/** The file in which the byte of the memory at `offset` stands at `place(offset)`. */
const placed = (place: Order) => {
  const file = new Uint8Array(good.length);
  for (const [offset, byte] of good.entries()) file[place(offset)] = byte;
  return file;
};
const half = good.length / 2;
const lines =
  (first: number, second: number): Order =>
  (offset) => {
    const [a, b] = [(offset >> first) & 1, (offset >> second) & 1];
    return (offset & ~((1 << first) | (1 << second))) | (b << first) | (a << second);
  };
const bits = (text: string) =>
  good.map((byte) => [...text].reduce((sum, from) => 2 * sum + ((byte >> Number(from)) & 1), 0));

const faults: readonly [string, string, Uint8Array][] = [
  ["the bytes of 16-bit words exchanged", "with layout swap-16", placed((at) => at ^ 1)],
  ["32-bit words reversed", "with layout swap-32", placed((at) => at ^ 3)],
  ["the halves of 32-bit words exchanged", "with layout swap-halves-32", placed((at) => at ^ 2)],
  ["two part files one behind the other", "after the step interleave", placed((at) => (at & 1) * half + (at >> 1))],
  [
    "two part files interleaved that follow each other",
    "after the step separate",
    placed((at) => (at < half ? 2 * at : 2 * (at - half) + 1)),
  ],
  ["every bit inverted", "after the step invert-bits", good.map((byte) => byte ^ 0xff)],
  ["the bits of each byte reversed", "after the step reverse-bits", bits("01234567")],
  ["the digits of each byte exchanged", "after the step swap-nibbles", bits("32107654")],
  ["data lines D1 and D6 exchanged", "with D1 and D6 exchanged", bits("71543260")],
  ["address lines A4 and A11 exchanged", "with A4 and A11 exchanged", placed(lines(4, 11))],
  ["address lines A13 and A16 exchanged", "with A13 and A16 exchanged", placed(lines(13, 16))],
];

describe("the order of a read that its profile's checksums prove", () => {
  it.each(faults)("%s", (_, step, file) => {
    const { verdict, findings } = askCheck({ reads: [fileOf("read", file)], profile, version: "0.0.0" });
    expect(verdict).toBe("stop");
    const [lead] = findings;
    expect(lead?.detail).toMatch(new RegExp(`^${step},? all 5 checksums that can tell hold`));
    expect(findings.map(({ code }) => code).slice(1)).toEqual(["soundness/consequences"]);
  });

  it("is no other order for a read that is only wrong in places", () => {
    const file = good.slice();
    for (let at = 0x100; at < file.length; at += 0x1000) file[at] = (file[at] as number) ^ 0x20;
    const { findings } = askCheck({ reads: [fileOf("read", file)], profile, version: "0.0.0" });
    expect(findings.filter(({ detail }) => detail.includes("checksums that can tell hold"))).toEqual([]);
    expect(findings.map(({ code }) => code)).toContain("checksum/mismatch");
  });

  it("is proved by a checksum that repeats, and asks one of them first", () => {
    // Invented: 2000 rows of 30 bytes, each with its CRC behind it.
    const bytes = content(64_000);
    for (let at = 0; at < bytes.length; at += 32) {
      const running = algorithmNamed("CRC-16/XMODEM").start();
      running.update(bytes.subarray(at, at + 30));
      new DataView(bytes.buffer).setUint16(at + 30, Number(running.value()));
    }
    const rows = { algorithm: "CRC-16/XMODEM", over: [{ start: 0, length: 30 }], repeat: { count: 2000, every: 32 } };
    const file = bytes.map((_, at) => bytes[at ^ 3] as number);
    const { findings } = askCheck({
      reads: [fileOf("read", file)],
      profile: profileWith([{ ...rows, stored: { at: 30 } }]),
      version: "0.0.0",
    });
    expect(findings[0]?.detail).toMatch(/^with layout swap-32,? all 2000 checksums that can tell hold/);
  });
});
