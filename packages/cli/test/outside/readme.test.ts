import { mkdtempSync, readFileSync, rmSync, symlinkSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { shell } from "../support/run.js";

// What the README shows is typed and compared: every line that begins with $, and what it says is answered.
const root = fileURLToPath(new URL("../../../../", import.meta.url));
const blocks = [...readFileSync(join(root, "README.md"), "utf8").matchAll(/^```\n(\$ [\s\S]*?)^```$/gm)].map(
  ([, block]) => block as string,
);

interface Typed {
  readonly line: string;
  readonly answer: readonly string[];
}

/** The command lines of a block, each with what stands under it. */
function typedIn(block: string): Typed[] {
  const typed: { line: string; answer: string[] }[] = [];
  let open = false;
  for (const line of block.trimEnd().split("\n")) {
    const last = typed.at(-1);
    if (line.startsWith("$ ")) typed.push({ line: line.slice(2), answer: [] });
    else if (open && last) last.line += `\n${line}`;
    else last?.answer.push(line);
    open = line.endsWith("\\");
  }
  return typed;
}

/** The first line of `shown` that is not in `output` in its turn; lines of ... stand for any others, ... at an end for the rest. */
function firstUnmet(output: readonly string[], shown: readonly string[]): { shown: string; got: string } | undefined {
  let at = 0;
  let gap = false;
  for (const line of shown) {
    if (/^ *\.\.\./.test(line)) {
      gap = true;
      continue;
    }
    const meets = (one: string) => (line.endsWith("...") ? one.startsWith(line.slice(0, -3)) : one === line);
    const found = gap ? output.findIndex((one, i) => i >= at && meets(one)) : meets(output[at] ?? "") ? at : -1;
    if (found < 0) return { shown: line, got: gap ? "nowhere behind" : (output[at] ?? "nothing") };
    at = found + 1;
    gap = false;
  }
  return undefined;
}

/** The lines of a text. Digests of a record go with the time of day. */
function linesOf(text: string): string[] {
  return text
    .replace(/\b[0-9a-f]{64}\b/g, "(digest)")
    .replace(/\b[0-9a-f]{12}(?=\.\.\.)/g, "(digest)")
    .split("\n")
    .map((line) => line.trimEnd());
}

let folder = "";
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "assay-readme-"));
  symlinkSync(join(root, "test-vectors"), join(folder, "test-vectors"));
});
afterAll(() => rmSync(folder, { recursive: true }));

it("is read: there are as many blocks as there were when this was written, or more", () => {
  expect(blocks.length).toBeGreaterThan(7);
});

describe.each(blocks.map((block) => ({ typed: typedIn(block) })))("$typed.0.line", ({ typed }) => {
  it("is answered as the README shows", { timeout: 900_000 }, async () => {
    let last = 0;
    for (const { line, answer } of typed) {
      if (line === "echo $?") {
        expect([`${last}`]).toEqual(answer); // of the shell before
        continue;
      }
      const { code, stdout, stderr } = await shell(`${line} 2>&1`, { cwd: folder });
      expect(stderr).toBe("");
      last = code ?? -1;
      expect(firstUnmet(linesOf(stdout.toString("utf8")), linesOf(answer.join("\n"))), line).toBeUndefined();
    }
  });
});
