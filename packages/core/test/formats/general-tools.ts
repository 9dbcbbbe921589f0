import { execFile, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { promisify } from "node:util";
import { afterAll } from "vitest";

// Witnesses: GNU objcopy (binutils) and srec_cat (SRecord).

const run = promisify(execFile);
const missing = ["objcopy", "srec_cat"].filter((tool) => spawnSync(tool, ["--version"]).status !== 0);

/** Whether the general tools are there; where they must be, their absence is an error, elsewhere it is told. */
export const withTools = missing.length === 0;
if (!withTools) {
  const told = `${missing.join(" and ")} not found: install binutils and srecord`;
  if (process.env.ASSAY_REQUIRE_TOOLS === "1") throw new Error(told);
  console.warn(`\n  NOT TESTED: ${told}\n`);
}

/** A folder for the files of one test file, removed after it. */
export function folderForTools(): string {
  const folder = mkdtempSync(join(tmpdir(), "assay-formats-"));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** What a tool, run as `args` say, has written to `target`. */
export async function through(args: readonly string[], target: string): Promise<Uint8Array> {
  const [tool = "", ...rest] = args;
  await run(tool, rest);
  return new Uint8Array(readFileSync(target));
}

/** `work` on each of `items`, four at a time. */
export async function four<T>(items: readonly T[], work: (item: T, index: number) => Promise<void>): Promise<void> {
  const rest = [...items.entries()];
  await Promise.all(
    Array.from({ length: 4 }, async () => {
      for (let next = rest.pop(); next !== undefined; next = rest.pop()) await work(next[1], next[0]);
    }),
  );
}
