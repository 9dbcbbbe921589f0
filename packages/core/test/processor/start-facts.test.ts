import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { fromHex } from "../../src/bytes/hex.js";
import { Image } from "../../src/image/image.js";
import { recogniseProcessor } from "../../src/processor/recognise.js";
import { keepsTo } from "../../src/processor/start-check.js";
import { startFacts } from "../../src/processor/start-facts.js";
import { scatteredFrom } from "../reference/random.js";

/** The rules and worked examples of test-vectors/standards/boot-vectors.json, with the manual beside each. */
const { rules }: { rules: { family: string; exampleBytes: string }[] } = JSON.parse(
  readFileSync(new URL("../../../../test-vectors/standards/boot-vectors.json", import.meta.url), "utf8"),
);

function example(family: string): Uint8Array {
  const rule = rules.find((one) => one.family === family);
  if (!rule) throw new Error(`no rule for ${family}`);
  return fromHex(rule.exampleBytes);
}

const size = 65536;

/** Random content with `bytes` at `offsets`, one of them behind the other where there are several. */
function memory(bytes: Uint8Array, offsets: readonly number[] = [0], different = -1): Uint8Array {
  const all = scatteredFrom(7).bytes(size);
  offsets.forEach((offset, i) => {
    all.set(bytes, offset);
    if (different >= 0) all[offset + different] = 16 * i;
  });
  return all;
}

const steps = (count: number, step: number, from = 0) => Array.from({ length: count }, (_, i) => from + i * step);

/** `values` of `width` bytes in a memory, from `at` on. */
function table(at: number, width: 2 | 4, order: "big" | "little", values: readonly number[]): Uint8Array {
  const all = scatteredFrom(9).bytes(size);
  const view = new DataView(all.buffer);
  values.forEach((value, i) => {
    if (width === 2) view.setUint16(at + 2 * i, value, order === "little");
    else view.setUint32(at + 4 * i, value, order === "little");
  });
  return all;
}

/** Memories that begin or end as a rule says: its example, in as many places as the rule has. */
const begun: readonly (readonly [family: string, what: string, bytes: Uint8Array])[] = [
  ["arm", "the published vector table of an Arm7", memory(example("Arm7/Arm9/Cortex-R/A (A32)"))],
  ["tricore", "the published header of a TC2xx", memory(example("TriCore AURIX TC2xx"))],
  ["tricore", "the published header of a TC3xx", memory(example("TriCore AURIX TC3xx"))],
  ["tricore", "the header of a TC17xx", memory(example("TriCore AUDO (TC17xx)"), [0x20000 % size])],
  ["powerpc", "a reset configuration half-word", memory(example("PowerPC MPC55xx"), [0x4000])],
  ["powerpc", "branches every 100h", memory(example("PowerPC MPC5xx"), steps(13, 0x100, 0x100), 2)],
  ["c166", "inter-segment jumps", memory(example("C166 / ST10 / XC16x"), steps(16, 4), 2)],
  ["v850", "jumps every 10h", memory(example("V850 / V850ES"), steps(16, 16), 3)],
  ["m32r", "branches of events", memory(example("M32R/ECU"), [0, 16, 32, 48, ...steps(16, 4, 64), 128, 144], 3)],
  ["avr", "jumps of vectors", memory(example("AVR"), steps(20, 4), 2)],
  ["8051", "long jumps of vectors", memory(example("8051"), [0, 3, 11, 19, 27, 35], 2)],
  // The examples of tables have one or two entries; the others are made here, as the rule says.
  [
    "arm",
    "vectors of a Cortex-M",
    table(0, 4, "little", [0x10002000, 0xc9, 0xd1, 0xd3, 0xd5, 0xd7, 0xd9, 0, 0, 0, 0, 0xdb, 0, 0, 0xdd, 0xdf]),
  ],
  ["68000", "vectors of a 68000", table(0, 4, "big", [0x101000, 0x400, ...steps(62, 2, 0x500)])],
  [
    "superh",
    "vectors of an SH-2",
    table(0, 4, "big", [0x800, 0xffffa000, 0x800, 0xffffa000, 0x900, 0, 0x900, 0, 0, 0x910, 0x920, 0x930, 0x940]),
  ],
  ["h8", "vectors of an H8S", table(0, 4, "big", steps(32, 4, 0x400))],
  ["68hc12", "vectors of a 68HC12", table(size - 128, 2, "big", [...steps(63, 3, 0xc100), 0xc000])],
  ["m16c", "vectors of an M16C", table(size - 36, 4, "little", steps(9, 16, 0xf0000))],
  ["msp430", "vectors of an MSP430", table(size - 32, 2, "little", [...steps(15, 4, 0xc100), 0xc000])],
];

describe("what is published about the first and the last bytes", () => {
  for (const [family, what, bytes] of begun) {
    it(`${what}: ${family}`, () => {
      const kept = startFacts.filter((fact) => keepsTo(fact, bytes));
      expect([...new Set(kept.map((fact) => fact.family))]).toEqual([family]);
      const told = recogniseProcessor(Image.of([{ address: 0, bytes }]));
      expect([told.family, told.certainty]).toEqual([family, "likely"]);
    });
  }

  it("has a case here for every fact", () => {
    const met = startFacts.map((fact) => begun.some(([, , bytes]) => keepsTo(fact, bytes)));
    expect(startFacts.filter((_, i) => !met[i]).map(({ says }) => says)).toEqual([
      // The twin of the little-endian one, which the published file has.
      "the memory begins with the eight exception vectors of Arm, big-endian: branches, or loads of the program counter",
    ]);
  });

  it("does not take a header with a wrong complement", () => {
    const broken = example("TriCore AURIX TC2xx");
    broken[31] = (broken[31] as number) ^ 1;
    expect(startFacts.filter((fact) => keepsTo(fact, memory(broken)))).toEqual([]);
  });

  it("says that two starts contradict each other", () => {
    const bytes = memory(example("AVR"), steps(20, 4), 2);
    bytes.set(table(size - 32, 2, "little", [...steps(15, 4, 0xc100), 0xc000]).subarray(size - 32), size - 32);
    const told = recogniseProcessor(Image.of([{ address: 0, bytes }]));
    expect([told.family, told.because.length]).toEqual([undefined, 3]);
  });
});
