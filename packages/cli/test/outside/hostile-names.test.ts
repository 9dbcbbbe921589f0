import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { withoutColour } from "../support/colours.js";
import { temporaryFolder } from "../support/folder.js";
import { inside } from "../support/inside.js";
import { assay, shell } from "../support/run.js";

const folder = temporaryFolder();
const content = ":0401000001020304F1\n:00000001FF\n";
const sequences = [
  "\x1b[31mred",
  "\x1b]0;title\x07",
  "\x1b]8;;x\x1b\\",
  "a\nassay: clear",
  "a\rb",
  "\x9b31m",
  "\u202egnp.bin",
  "\u200b",
  "\u2028x",
];
const acting = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/u;

function expectHarmless(stdout: string, stderr: string, what: string) {
  const shown = withoutColour(stdout + stderr);
  expect(shown.replaceAll("\n", ""), what).not.toMatch(acting);
  expect(shown.split("\n").filter((line) => line.startsWith("assay: clear"))).toEqual([]);
}

describe("a name made to act on a terminal", () => {
  it.each(sequences)("%j moves no cursor, in any answer", async (name) => {
    const there = join(folder, name);
    writeFileSync(there, content);
    const commands = [
      ["check", there],
      ["check", there, "--json"],
      ["check", `${there}x`],
      ["check", `${there}x`, "--json"],
      ["check", there, "--base", name],
      ["check", there, `--${name}`],
      ["check", there, "--profile", there],
      ["convert", there, "-", "--to", name],
      ["convert", there, join(folder, `${name}.s19`), "--header", "x"],
      ["convert", there, join(folder, `${name}2.hex`), "--header", name],
      ["explain", name],
      [name],
    ];
    for (const args of commands) {
      const { stdout, stderr } = await inside(args, { FORCE_COLOR: "1" });
      expectHarmless(stdout, stderr, JSON.stringify(args));
    }
  });

  it("that is not UTF-8 and so cannot be handed over is told as that", async () => {
    const line = `assay check "$(printf 'na\\377me.bin')"; echo $?`;
    const { stdout, stderr } = await shell(line, { cwd: folder });
    expect(stdout.toString()).toBe("2\n");
    expect(stderr).toContain("expected a file that can be read, got a name that is not UTF-8: rename it (ENOENT)");
  });

  it("nor does the built program let one through", async () => {
    const name = "\x1b]0;title\x07\x9b2J\u202e.hex";
    writeFileSync(join(folder, name), content);
    const { stdout, stderr, code } = await assay(["check", name], { cwd: folder, environment: { FORCE_COLOR: "1" } });
    expect(code).toBe(3);
    expectHarmless(stdout.toString("utf8"), stderr, name);
  });
});
