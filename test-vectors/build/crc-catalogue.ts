/**
 * Writes packages/core/src/algorithms/crc-catalogue.ts from test-vectors/standards/crc-catalogue.json. Running it again
 * changes nothing: `tsx test-vectors/build/crc-catalogue.ts`.
 */
import { execFileSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

interface Row {
  readonly name: string;
  readonly aliases: readonly string[];
  readonly width: number;
  readonly poly: string;
  readonly init: string;
  readonly refin: boolean;
  readonly refout: boolean;
  readonly xorout: string;
  readonly check: string;
  readonly residue: string;
  readonly source: string;
}

const root = new URL("../../", import.meta.url);
const target = fileURLToPath(new URL("packages/core/src/algorithms/crc-catalogue.ts", root));
const text = readFileSync(new URL("test-vectors/standards/crc-catalogue.json", root), "utf8");
const { algorithms } = JSON.parse(text) as { algorithms: readonly Row[] };

// The list holds one entry twice, word for word; two that differ under one name would be a mistake.
const byName = new Map<string, Row>();
for (const row of algorithms) {
  const known = byName.get(row.name);
  if (known && JSON.stringify(known) !== JSON.stringify(row)) throw new Error(`${row.name}: two entries that differ`);
  byName.set(row.name, row);
}

const literal = (value: string) => `${value.toLowerCase()}n`;
const rows = [...byName.values()].map(
  (row) => `{
    name: ${JSON.stringify(row.name)},
    aliases: ${JSON.stringify(row.aliases)},
    width: ${row.width},
    poly: ${literal(row.poly)},
    init: ${literal(row.init)},
    refin: ${row.refin},
    refout: ${row.refout},
    xorout: ${literal(row.xorout)},
    check: ${literal(row.check)},
    residue: ${literal(row.residue)},
    source: ${JSON.stringify(row.source)},
  },`,
);

const source = `import type { CrcModel } from "./crc.js";

// Made by test-vectors/build/crc-catalogue.ts: change test-vectors/standards/crc-catalogue.json and run that.

/** A published CRC: its parameters, and by what they can be recognised as right. */
export interface CrcRow extends CrcModel {
  readonly aliases: readonly string[];
  /** What it gives for the nine ASCII digits 123456789. */
  readonly check: bigint;
  /**
   * The register after a message with its CRC behind it (first the byte that a sender would send first), reflected
   * where \`refout\` is, before \`xorout\`.
   */
  readonly residue: bigint;
  /** Where the parameters are from, and what standard they go back to. */
  readonly source: string;
}

/** The public catalogue of parametrised CRC algorithms: ${rows.length} models, in its own notation. */
export const crcCatalogue = [
  ${rows.join("\n  ")}
] as const satisfies readonly CrcRow[];
`;

const biome = fileURLToPath(new URL("node_modules/.bin/biome", root));
const formatted = execFileSync(biome, ["format", "--stdin-file-path=crc-catalogue.ts"], {
  cwd: fileURLToPath(root),
  input: source,
  encoding: "utf8",
});
writeFileSync(target, formatted);
