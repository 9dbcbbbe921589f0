/** What a processor of a family is called. A family is told apart by its instructions, not by its maker. */
export const processorFamilies = {
  "6502": "6502",
  "68000": "68000, CPU32 or ColdFire",
  "68hc12": "68HC12 or S12",
  "8051": "8051",
  aarch64: "Arm, 64-bit instructions",
  arm: "Arm, 32-bit",
  avr: "AVR",
  c166: "C166, ST10 or XC16x",
  h8: "H8/300 or H8S",
  hppa: "PA-RISC",
  m16c: "M16C or R8C",
  m32r: "M32R",
  mips: "MIPS",
  msp430: "MSP430",
  powerpc: "PowerPC",
  riscv: "RISC-V",
  s390: "S/390 or z/Architecture",
  sparc: "SPARC",
  superh: "SuperH",
  tricore: "TriCore",
  v850: "V850 or RH850",
  x86: "x86",
  xtensa: "Xtensa",
  z80: "Z80",
} as const;

/** A family of processors that can be recognised. */
export type ProcessorFamily = keyof typeof processorFamilies;
