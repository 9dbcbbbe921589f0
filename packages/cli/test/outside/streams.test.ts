import { spawn, spawnSync } from "node:child_process";
import { once } from "node:events";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { gunzipSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import { withoutColour } from "../support/colours.js";
import { temporaryFolder } from "../support/folder.js";
import { assay, program, shell, workboat } from "../support/run.js";

const folder = temporaryFolder();
const at = (name: string) => join(workboat, name);
const other = `${at("port.hex.gz")} ${at("starboard-other-build.bin.gz")} --profile ${at("profile.json")}`;

describe("standard output", () => {
  it("gets a document far larger than a pipe holds, whole, however slow the reader", async () => {
    const { stdout, stderr, code } = await shell(
      `assay pair ${other} --json | { sleep 0.5; cat; }; exit \${PIPESTATUS[0]}`,
    );
    expect(stdout.length).toBeGreaterThan(2 * 65536);
    expect(JSON.parse(stdout.toString("utf8")).verdict).toBe("stop");
    expect([code, stderr]).toEqual([1, ""]);
  });

  it("is let go without a word when the reader hangs up", async () => {
    const { stdout, stderr, code } = await shell(`assay pair ${other} --json | head -c 20; exit \${PIPESTATUS[0]}`);
    expect(stdout.length).toBe(20);
    expect([code, stderr]).toEqual([1, ""]);
  });

  it("that is full is said, without a stack, and never with the code of a verdict", async () => {
    const { stderr, code } = await shell(`assay pair ${other} > /dev/full`);
    expect(code).toBe(2);
    expect(stderr).toMatch(
      /^assay: standard input or output: expected .+, got a full disk \(ENOSPC\) \(output\/unwritable\)\n$/,
    );
  });

  it("that is closed does not give a clear answer to nobody", async () => {
    const { code } = await shell(`assay pair ${other} >&-`);
    expect([1, 2]).toContain(code);
  });

  it("holds the document alone, also when standard error goes to the same place", async () => {
    for (const line of [`assay pair ${other} --json 2>&1`, `assay pair ${other} --quiet --json 2>&1`]) {
      expect(JSON.parse((await shell(line)).stdout.toString("utf8")).schema).toBe("assay.report/1");
    }
  });

  it("is never written over when it is the input", async () => {
    writeFileSync(join(folder, "own.hex"), ":0401000001020304F1\n:00000001FF\n");
    const before = readFileSync(join(folder, "own.hex"));
    const { code } = await shell("assay convert own.hex - --to raw >> own.hex", { cwd: folder });
    expect(code).toBe(2);
    expect(readFileSync(join(folder, "own.hex")).equals(before)).toBe(true);
  });
});

describe("standard error", () => {
  it("that is full or closed changes no exit code", async () => {
    expect((await shell("assay check nothing.bin 2> /dev/full", { cwd: folder })).code).toBe(2);
    expect((await shell("assay check nothing.bin 2>&-", { cwd: folder })).code).toBe(2);
    expect((await shell(`assay pair ${other} --quiet 2>&-`)).code).toBe(1);
  });
});

describe("standard input", () => {
  it("is read from a pipe and from a file", async () => {
    const bytes = gunzipSync(readFileSync(at("starboard.bin.gz")));
    const piped = await assay(["pair", at("port.hex.gz"), "-", "--profile", at("profile.json"), "--quiet"], {
      input: bytes,
    });
    expect(piped.stdout.toString()).toBe("pair: clear\n");
    const filed = await shell(`assay check - --quiet < ${at("starboard.bin.gz")}`);
    expect(filed.code).toBe(3);
  });

  it("that is a folder, nothing or endless is refused or read as empty, without hanging", async () => {
    expect((await shell("assay check - < .", { cwd: folder })).code).toBe(2);
    expect((await shell("assay check - --quiet < /dev/null", { cwd: folder })).code).toBe(1);
    expect((await shell("assay check - --max-size 1M < /dev/zero", { cwd: folder })).code).toBe(2);
  });
});

it("Ctrl-C ends it by the signal itself, which a shell reads as 128 + 2 = 130", async () => {
  const child = spawn(process.execPath, [program, "check", "-"], { stdio: ["pipe", "ignore", "pipe"] });
  const errors: Buffer[] = [];
  child.stderr.on("data", (piece: Buffer) => errors.push(piece));
  // Once its first bytes are taken it waits for more.
  await new Promise((resolve) => child.stdin.write(Buffer.alloc(2 ** 20), resolve));
  child.kill("SIGINT");
  const [code, signal] = await once(child, "close");
  expect([code, signal, Buffer.concat(errors).toString()]).toEqual([null, "SIGINT", ""]);
});

describe("colour, at a terminal and in a pipe", () => {
  // A pseudo-terminal by the util-linux program script: standard output is a terminal there.
  const hasScript = spawnSync("script", ["--version"]).status === 0;
  // The whole matrix of variables is tested where it is decided; here each way is taken once through a real stream.
  const matrix = [
    [{ TERM: "xterm" }, "", true, false],
    [{ TERM: "xterm", NO_COLOR: "1" }, "", false, false],
    [{ TERM: "xterm", FORCE_COLOR: "1" }, "", true, true],
    [{ TERM: "xterm", FORCE_COLOR: "1" }, "--no-colour", false, false],
  ] as const;

  it.each(matrix)("%j %s", async (environment, option, terminal, pipe) => {
    const line = `explain pair/same-side ${option}`;
    const piped = await shell(`assay ${line}`, { environment });
    expect(piped.stdout.includes("\x1b[")).toBe(pipe);
    if (!hasScript && process.env.ASSAY_REQUIRE_TOOLS !== "1") return;
    const typed = await shell(`script -qec "${process.execPath} ${program} ${line}" /dev/null`, { environment });
    expect(typed.stdout.includes("\x1b[")).toBe(terminal);
    expect(withoutColour(typed.stdout.toString()).replaceAll("\r", "")).toBe(withoutColour(piped.stdout.toString()));
  });
});
