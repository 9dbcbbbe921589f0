import { writeFileSync } from "node:fs";
import { type CrcRow, crcCatalogue, type SumRow, sumCatalogue } from "@assay/core";

// Writes packages/core/docs/algorithms.md from the catalogues; a test fails when the page is not what this would write.

const hex = (value: bigint, width: number) =>
  `0x${value
    .toString(16)
    .toUpperCase()
    .padStart(Math.ceil(width / 4), "0")}`;
const named = (name: string, aliases: readonly string[] = []) =>
  [name, ...aliases].map((one) => `\`${one}\``).join(", ");

/** What one of the sums does, in words. */
function summary(row: SumRow): string {
  const words =
    row.word === 1 ? "bytes" : `${8 * row.word}-bit words, the ${row.order === "little" ? "low" : "high"} byte first`;
  const whole = row.multipleOf === undefined ? "" : `; only over whole words of ${row.multipleOf} bytes`;
  switch (row.method) {
    case "add": {
      const carry = {
        "end-around": "is added in again at the low end",
        "folded-twice": "is folded in twice at the end",
      };
      const over = row.carry === undefined ? "is dropped" : carry[row.carry];
      return `sum of ${words}; what does not fit into ${row.width} bits ${over}${row.inverted ? "; every bit turned over" : ""}${whole}`;
    }
    case "xor":
      return `exclusive or of ${words}${whole}`;
    case "pair":
      return `two running sums of ${words}, modulo ${row.modulus}, the first from ${row.first} on; the second in the upper half${whole}`;
    case "rotate":
      return `for each byte, what was before is turned right by one bit, then the byte is added, in ${row.width} bits`;
  }
}

/** The page of all algorithms that have a name. */
export function algorithmsPage(): string {
  const sums: readonly SumRow[] = sumCatalogue;
  const crcs: readonly CrcRow[] = crcCatalogue;
  return [
    "# Checksum algorithms by name",
    "",
    "Made from the catalogues by `packages/checks/algorithms-page.ts`. In a name capitals do not count, and `_` is `-`.",
    "A value may be stored in other forms too (complement, negated ...): `profile.md`, checksums, `stored`.",
    "",
    "## Sums, exclusive or, running sums",
    "",
    "A last word that is not whole is taken with 00 in the place of what is missing, unless it says otherwise.",
    "",
    "| name | bits | what |",
    "| --- | --- | --- |",
    ...sums.map((row) => `| ${named(row.name, row.aliases)} | ${row.width} | ${summary(row)} |`),
    "",
    "## Hashes",
    "",
    "`SHA-1` (160 bits), `SHA-256` (256 bits): FIPS 180-4.",
    "",
    "## CRCs",
    "",
    "*check* is what the nine ASCII digits 123456789 come to.",
    "",
    "| name | bits | poly | init | refin | refout | xorout | check |",
    "| --- | --- | --- | --- | --- | --- | --- | --- |",
    ...crcs.map(({ name, aliases, width, poly, init, refin, refout, xorout, check }) => {
      const numbers = [hex(poly, width), hex(init, width), refin, refout, hex(xorout, width), hex(check, width)];
      return `| ${[named(name, aliases), width, ...numbers].join(" | ")} |`;
    }),
    "",
  ].join("\n");
}

/** Where the page stands. */
export const algorithmsPath: URL = new URL("../core/docs/algorithms.md", import.meta.url);

if (process.argv[1]?.endsWith("algorithms-page.ts")) writeFileSync(algorithmsPath, algorithmsPage());
