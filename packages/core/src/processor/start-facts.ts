import type { ByteOrder } from "../bytes/word.js";
import type { ProcessorFamily } from "./family.js";

/** Something published about the first or the last bytes of the memory that a processor starts from. */
export interface StartFact {
  readonly family: ProcessorFamily;
  /** In words, as it is told to people: a sentence without a full stop. */
  readonly says: string;
  readonly layout: VectorTable | CodeSlots | Header;
  /** What an image shows that keeps to it; an order is told where the family has two. */
  readonly order?: ByteOrder;
  readonly source: string;
}

/** Addresses one behind the other, from the first byte on or up to the last. */
export interface VectorTable {
  readonly kind: "vectors";
  readonly at: "start" | "end";
  readonly width: 2 | 4;
  readonly order: ByteOrder;
  /**
   * One sign an entry. `c`: address of code. `o`: the same, or unused (all 0 or all FF). `e`: the same, or erased (all
   * FF). `s`: stack pointer, outside of the code. `z`: 0. `.`: anything.
   */
  readonly entries: string;
  /** What addresses of code leave as rest when divided by 2; undefined for both. */
  readonly rest?: 0 | 1;
  /** Addresses of code that must stand in it at least. */
  readonly least: number;
  /** Different ones among them at least: a table that was filled with one value is none. */
  readonly different: number;
  /** Bits of an entry that are its address, where it holds something else besides. */
  readonly addressBits?: number;
  /** For a table at the end: one past the last address of the memory. */
  readonly top?: number;
  /** Where code that vectors point to can stand: from the first to below the second. */
  readonly windows?: readonly (readonly [number, number])[];
  /** Whether the memory begins at 0 where the table stands: then addresses of code count from the first byte. */
  readonly fromZero?: true;
  /** Stack pointers lie from the first to below the second. */
  readonly stack?: readonly [number, number];
}

/** Instructions at places that the processor jumps to. */
export interface CodeSlots {
  readonly kind: "slots";
  /** Offsets from the first byte. */
  readonly offsets: readonly number[];
  /** What one holds: bytes as they lie in memory, a dot for any digit. */
  readonly patterns: readonly string[];
  /** Slots that must hold one, the first among them. One byte over and over is fill, and none. */
  readonly least: number;
}

/** A marked block. */
export interface Header {
  readonly kind: "header";
  /** Offsets from the first byte at which it may stand. */
  readonly offsets: readonly number[];
  readonly pattern: string;
  /** Places of words of 4 bytes that are the complement of each other. */
  readonly complements?: readonly (readonly [number, number])[];
  /** Place of a big-endian word that is an address inside the image, a multiple of 4. */
  readonly start?: number;
}

const every = (step: number, count: number, from = 0) => Array.from({ length: count }, (_, i) => from + i * step);

/**
 * The facts. Those of one family do not all have to hold; a fact is made so narrow that an image of another family keeps
 * to it by chance less often than once in a million.
 */
export const startFacts: readonly StartFact[] = [
  {
    family: "arm",
    says: "the memory begins with the vector table of Cortex-M: a stack pointer, then addresses of Thumb code",
    layout: {
      kind: "vectors",
      at: "start",
      width: 4,
      order: "little",
      entries: "sccoooo.zzzo.zoo",
      rest: 1,
      least: 3,
      different: 1,
      // Memory map of Armv7-M: SRAM from 20000000h; parts with SRAM in the code region have it at 10000000h.
      stack: [0x10000000, 0x40000000],
    },
    order: "little",
    source: "Arm DDI 0403 (Armv7-M), B1.5 (from memory); word 7 may hold a checksum, NXP UM10360 32.3.1.1 (read)",
  },
  {
    family: "arm",
    says: "the memory begins with the eight exception vectors of Arm: branches, or loads of the program counter",
    layout: { kind: "slots", offsets: every(4, 8), patterns: ["......ea", "..f.9fe5", "..f.1fe5"], least: 6 },
    order: "little",
    source: "published hex file with its vector table, Arm and NXP LPC2000 documentation (read, recomputed)",
  },
  {
    family: "arm",
    says: "the memory begins with the eight exception vectors of Arm, big-endian: branches, or loads of the program counter",
    layout: { kind: "slots", offsets: every(4, 8), patterns: ["ea......", "e59ff...", "e51ff..."], least: 6 },
    order: "big",
    source: "the same in the other byte order",
  },
  {
    family: "68000",
    says: "the memory begins with the exception vectors of the 68000: a stack pointer, then even addresses of code",
    layout: {
      kind: "vectors",
      at: "start",
      width: 4,
      order: "big",
      entries: `sc${"o".repeat(10)}..oo........${"o".repeat(24)}`,
      rest: 0,
      least: 12,
      different: 2,
    },
    source: "M68000 User's Manual, exception vector table (from memory)",
  },
  {
    family: "superh",
    says: "the memory begins with the exception vectors of SuperH: program counter and stack pointer after power-on, the same after manual reset",
    layout: {
      kind: "vectors",
      at: "start",
      width: 4,
      order: "big",
      entries: "cscso.o..oooo",
      rest: 0,
      least: 5,
      different: 1,
    },
    order: "big",
    source: "SH7055S, SH7604 and SH7264 hardware manuals, exception vector table (read)",
  },
  {
    family: "c166",
    says: "the memory begins with jumps between segments (JMPS) in the slots of the traps",
    layout: { kind: "slots", offsets: every(4, 16), patterns: ["fa0....."], least: 5 },
    source: "worked example of a C166 hex file, JMPS = FA (read, recomputed)",
  },
  {
    family: "tricore",
    says: "the memory holds a boot mode header of AURIX TC2xx, its checksum beside the complement",
    layout: {
      kind: "header",
      offsets: [0, 0x20000, 0xffe0, 0x1ffe0],
      pattern: "............59b3................................................",
      complements: [[24, 28]],
    },
    source: "Infineon TC27x User's Manual (read, recomputed); the places behind the first from memory",
  },
  {
    family: "tricore",
    says: "the memory begins with a boot mode header of AURIX TC3xx, its checksum beside the complement",
    layout: {
      kind: "header",
      offsets: every(0x200, 4),
      pattern: "....59b3........................",
      complements: [[8, 12]],
    },
    source: "AURIX TC3xx User's Manual, worked example of the start-up header (read, recomputed)",
  },
  {
    family: "tricore",
    says: "the memory holds an alternate boot header of TriCore AUDO: a start address in program flash, then DEADBEEFh",
    layout: { kind: "header", offsets: [0, 0x20000], pattern: "......a0efbeadde" },
    source: "TC1766 and TC1797 User's Manuals (from memory)",
  },
  {
    family: "powerpc",
    says: "the memory holds a reset configuration half-word of MPC55xx (5Ah), then a start address in the image",
    layout: {
      kind: "header",
      offsets: [0, 0x4000, 0x10000, 0x1c000, 0x20000, 0x30000],
      pattern: "0.5a............",
      start: 4,
    },
    order: "big",
    source: "MPC5566 Reference Manual, table 16-4; MPC5644A Reference Manual, 21.5.3 (read)",
  },
  {
    family: "powerpc",
    says: "the memory holds branches in the exception slots of PowerPC, every 100h from 100h on",
    layout: { kind: "slots", offsets: every(0x100, 13, 0x100), patterns: ["48......"], least: 6 },
    order: "big",
    source: "system reset at 100h (read), further slots every 100h (from memory); B = 48 (recomputed)",
  },
  {
    family: "v850",
    says: "the memory begins with jumps (JR) in the slots of reset and exceptions, every 10h",
    layout: { kind: "slots", offsets: every(0x10, 16), patterns: ["8007...."], least: 8 },
    order: "little",
    source: "V850ES/JG3 User's Manual, section 28 (read); encoding and the slots of RH850 from memory",
  },
  {
    family: "m32r",
    says: "the memory begins with branches (BRA) in the entries of events",
    layout: {
      kind: "slots",
      offsets: [0, 0x10, 0x20, 0x30, ...every(4, 16, 0x40), 0x80, 0x90],
      patterns: ["ff00...."],
      least: 8,
    },
    order: "big",
    source: "32180, 32170 and 32192 hardware manuals, chapter on events (read); encoding recomputed",
  },
  {
    family: "avr",
    says: "the memory begins with jumps (JMP) in the first vectors of AVR",
    layout: { kind: "slots", offsets: every(4, 20), patterns: ["0c94...."], least: 12 },
    order: "little",
    source: "AVR Instruction Set Manual (recomputed)",
  },
  {
    family: "8051",
    says: "the memory begins with long jumps (LJMP) at reset and at the interrupt vectors of the 8051",
    layout: { kind: "slots", offsets: [0, 3, 0xb, 0x13, 0x1b, 0x23, 0x2b], patterns: ["02...."], least: 4 },
    source: "MCS-51 manual (from memory)",
  },
  {
    family: "h8",
    says: "the memory begins with the vectors of H8 in advanced mode: even addresses of code, four bytes each",
    layout: {
      kind: "vectors",
      at: "start",
      width: 4,
      order: "big",
      entries: `c${"o".repeat(31)}`,
      rest: 0,
      least: 12,
      different: 3,
      fromZero: true,
    },
    source: "H8S/2200 and H8S/2456 hardware manuals, figure 2.1 (read)",
  },
  {
    family: "68hc12",
    says: "the memory ends with the 64 vectors of the 68HC12, high byte first",
    layout: {
      kind: "vectors",
      at: "end",
      width: 2,
      order: "big",
      entries: `${"e".repeat(63)}c`,
      least: 48,
      different: 3,
      top: 0x10000,
      // What lies between is a window to banks: a vector cannot point there.
      windows: [
        [0x4000, 0x8000],
        [0xc000, 0x10000],
      ],
    },
    source: "MC68HC912B32 Technical Data, section 9; MC9S12HY64 Reference Manual, table 4-4 (read)",
  },
  {
    family: "m16c",
    says: "the memory ends with the fixed vectors of M16C",
    layout: {
      kind: "vectors",
      at: "end",
      width: 4,
      order: "little",
      entries: "eeeeeeeec",
      least: 8,
      different: 3,
      addressBits: 24,
      top: 0x100000,
      windows: [[0x80000, 0x100000]],
    },
    source: "M16C software manual (from memory); the table of M32C/90 was read",
  },
  {
    family: "msp430",
    says: "the memory ends with the vectors of MSP430: even addresses of code, low byte first",
    layout: {
      kind: "vectors",
      at: "end",
      width: 2,
      order: "little",
      entries: `${"e".repeat(15)}c`,
      rest: 0,
      least: 10,
      different: 3,
      top: 0x10000,
      windows: [[0x1000, 0x10000]],
    },
    source: "MSP430x2xx Family User's Guide (from memory)",
  },
];
