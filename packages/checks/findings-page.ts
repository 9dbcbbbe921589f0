import { writeFileSync } from "node:fs";
import { catalogue, refusals } from "@assay/core";

// Writes packages/core/docs/findings.md from the catalogue; a test fails when the page is not what this would write.

const cell = (text: string) => text.replaceAll("|", "\\|");

/** The page of all findings. */
export function findingsPage(): string {
  const codes = Object.keys(catalogue).sort() as (keyof typeof catalogue)[];
  const areas = [...new Set(codes.map((code) => code.split("/")[0]))];
  const lines = [
    "# Findings",
    "",
    "Made from the catalogue by `packages/checks/findings-page.ts`; `assay explain CODE` says the same.",
    "",
  ];
  for (const area of areas) {
    lines.push(`## ${area}`, "", "| code | severity | what | why | next |", "| --- | --- | --- | --- | --- |");
    for (const code of codes.filter((one) => one.startsWith(`${area}/`))) {
      const { severity, title, why, next } = catalogue[code];
      lines.push(`| \`${code}\` | ${severity} | ${[title, why, next].map(cell).join(" | ")} |`);
    }
    lines.push("");
  }
  lines.push(
    "## Refusals",
    "",
    "What a command ends with, at exit code 2, when it cannot be carried out.",
    "",
    "| code | what | next |",
    "| --- | --- | --- |",
    ...Object.entries(refusals)
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([code, { title, next }]) => `| \`${code}\` | ${cell(title)} | ${cell(next)} |`),
    "",
  );
  return lines.join("\n");
}

/** Where the page stands. */
export const findingsPath: URL = new URL("../core/docs/findings.md", import.meta.url);

if (process.argv[1]?.endsWith("findings-page.ts")) writeFileSync(findingsPath, findingsPage());
