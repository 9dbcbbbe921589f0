import { extname } from "node:path";
import { Refusal, type WrittenFormatName, writtenFormatNames } from "@assay/core";

/** Endings that say a format where nobody says it with --to. Common practice, no source. */
const endings: Readonly<Record<string, WrittenFormatName>> = {
  ".bin": "raw",
  ".raw": "raw",
  ".rom": "raw",
  ".hex": "intel-hex",
  ".ihex": "intel-hex",
  ".ihx": "intel-hex",
  ".mot": "s-record",
  ".s19": "s-record",
  ".s28": "s-record",
  ".s37": "s-record",
  ".srec": "s-record",
  ".tek": "tektronix-hex",
  ".titxt": "ti-txt",
};

/** The format that the name of a file to write says, or undefined. */
export function formatOfName(path: string): WrittenFormatName | undefined {
  return endings[extname(path).toLowerCase()];
}

/** That no format was said for the file at `path`. */
export function formatUnsaid(path: string): Refusal {
  const expected = `--to with one of ${writtenFormatNames.join(", ")}, or a name that ends like .bin, .hex or .s19`;
  return new Refusal("usage/format-unsaid", `expected ${expected}, got neither`, { file: path });
}
