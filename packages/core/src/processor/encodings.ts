import type { ByteOrder } from "../bytes/word.js";
import type { ProcessorFamily } from "./family.js";

/**
 * Instructions that compiled code of a family cannot do without: returns, what stands at the start and the end of
 * functions, calls. Only such are listed as are rare in the code of the other families.
 */
export interface Encodings {
  readonly family: ProcessorFamily;
  /** Which of the family's instruction sets, where there are several. */
  readonly set?: string;
  readonly order?: ByteOrder;
  /** Instructions begin at multiples of this. */
  readonly alignment: 1 | 2 | 4;
  /**
   * Instructions as their bytes lie in memory, two signs a byte, a dot for any digit. A blank between kinds, a bar
   * between what counts as one kind.
   */
  readonly patterns: string;
  /** How many of them stand in 1 KiB of an image that is neither 00 nor FF. */
  readonly usual: number;
}

/**
 * From the families' instruction set manuals (from memory), confirmed by counting in real open firmware and, where there
 * is little, in the C libraries of Debian's cross compilers: frequent in code of the family, rare in that of the others.
 * Of Arm big-endian, SuperH big-endian and PowerPC little-endian the counts are those of the other order.
 */
export const encodings: readonly Encodings[] = [
  {
    family: "6502",
    alignment: 1,
    patterns: "a9..85..a9..85 a9..8d.... c9..f0 c9..d0 1865 38e9 cad0 a000b1 a5..85..a5..85 20....a9",
    usual: 19,
  },
  {
    family: "68000",
    order: "big",
    alignment: 2,
    patterns: "4e75 4e56.... 48e7.... 4cdf.... 4eb9.... 61ff 588f 4fef",
    usual: 34,
  },
  {
    family: "8051",
    alignment: 1,
    patterns: "90....e0 90....f0 90....74 74..f0 c0e0c0 d0e032 e0f5 e582",
    usual: 46,
  },
  {
    family: "aarch64",
    order: "little",
    alignment: 4,
    patterns: "c0035fd6 fd7b..a9 fd030091 fd7b..a8 f353..a9",
    usual: 14,
  },
  {
    family: "arm",
    set: "A32",
    order: "little",
    alignment: 4,
    patterns: "1eff2fe1 ....2de9 ....bde8 ....a0e1 ....a0e3 ....9fe5 000050e3",
    usual: 57,
  },
  {
    family: "arm",
    set: "A32",
    order: "big",
    alignment: 4,
    patterns: "e12fff1e e92d.... e8bd.... e1a0.... e3a0.... e59f.... e3500000",
    usual: 57,
  },
  {
    family: "arm",
    set: "Thumb",
    order: "little",
    alignment: 2,
    patterns:
      "7047 08b5|10b5|30b5|38b5|70b5|f0b5|f8b5 08bd|10bd|30bd|38bd|70bd|f0bd|f8bd 2de9..4. bde8..8.|bde8..4. 0446 c046 0028..d0|0028..d1|002b..d0|002b..d1 ..f0..f8|..f0..f9|..f7..ff",
    usual: 16,
  },
  {
    family: "avr",
    order: "little",
    alignment: 2,
    patterns: "0895 1895 0e94 0c94 cf93df93 df91cf91 0fb6f894",
    usual: 37,
  },
  { family: "h8", order: "big", alignment: 2, patterns: "5470 01006df. 01006d7. 5e00....", usual: 3 },
  { family: "hppa", order: "big", alignment: 4, patterns: "e840c00. 6bc23fd9 4bc2.... 37de.... 08000240", usual: 10 },
  {
    family: "mips",
    order: "big",
    alignment: 4,
    patterns: "03e00008 27bd.... 8fbf.... afbf.... 0320f809 67bd.... dfbf....",
    usual: 18,
  },
  {
    family: "mips",
    order: "little",
    alignment: 4,
    patterns: "0800e003 ....bd27 ....bf8f ....bfaf 09f82003 ....bd67 ....bfdf",
    usual: 18,
  },
  {
    family: "powerpc",
    order: "big",
    alignment: 4,
    patterns: "4e800020 7c0802a6 7c0803a6 9421.... 4bff.... f821....",
    usual: 16,
  },
  {
    family: "powerpc",
    order: "little",
    alignment: 4,
    patterns: "2000804e a602087c a603087c ....2194 ....ff4b ....21f8",
    usual: 16,
  },
  {
    family: "riscv",
    order: "little",
    alignment: 2,
    patterns: "8280 67800000 06e4 22e8 a260 e260 06c6 22c4 b240 eff0.ff.",
    usual: 8,
  },
  {
    family: "s390",
    order: "big",
    alignment: 2,
    patterns: "07fe eb..f...0024 eb..f...0004 c0e5........ a7f4.... e3.0....0004",
    usual: 37,
  },
  { family: "sparc", order: "big", alignment: 4, patterns: "81c3e008 81c7e008 81e8.... 9de3b... 81cfe008", usual: 6 },
  { family: "superh", order: "big", alignment: 2, patterns: "4f22 4f26 2fe6 6ef6 2f.6 6.f6 000b0009", usual: 26 },
  { family: "superh", order: "little", alignment: 2, patterns: "224f 264f e62f f66e .62f f66. 0b000900", usual: 26 },
  {
    family: "x86",
    order: "little",
    alignment: 1,
    patterns: "5589e5 5dc3 5bc3 c9c3 85c07. 83c4.. 83ec.. e8....ffff 488b.. 4889.. 31c0",
    usual: 38,
  },
  { family: "xtensa", order: "big", alignment: 1, patterns: "6c10 d10f", usual: 16 },
  {
    family: "z80",
    alignment: 1,
    patterns: "edb0 e5d5c5 c5d5e5 c1d1e1 e1d1c1 e1c9 f1c9 dde5 dde1 ed5b ed4b ed53 af32 3e..cd 3e..d3 c9cd 21....cd",
    usual: 26,
  },
];
