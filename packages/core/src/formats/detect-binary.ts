import type { FormatName } from "./decoded.js";
import { hasDfuSuffix } from "./dfu.js";
import { ELF_MARK } from "./elf-header.js";
import { UF2_MARK } from "./uf2.js";

/** The format that bytes which are no text show by their marks, first or last; undefined when they show none. */
export function binaryFormat(bytes: Uint8Array): FormatName | undefined {
  if (ELF_MARK.every((byte, i) => bytes[i] === byte)) return "elf";
  const [a = 0, b = 0, c = 0, d = 0] = bytes;
  if (a + 0x100 * b + 0x10000 * c + 0x1000000 * d === UF2_MARK) return "uf2";
  return hasDfuSuffix(bytes) ? "dfu" : undefined;
}
