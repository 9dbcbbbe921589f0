import { spawn } from "node:child_process";
import { once } from "node:events";
import * as fs from "node:fs";
import { join } from "node:path";
import { beforeEach, describe, expect, it } from "vitest";
import { temporaryFolder } from "../support/folder.js";
import { program, shell } from "../support/run.js";

// The built program against a real file system: what it may never do to a file.
const root = temporaryFolder();
let folder = "";
let count = 0;
const content = Buffer.from(Array.from({ length: 4096 }, (_, i) => (i * 31) % 256));
beforeEach(() => {
  folder = join(root, String(count++));
  fs.mkdirSync(folder);
  fs.writeFileSync(at("in.bin"), content);
});
const at = (name: string) => join(folder, name);
const run = (line: string) => shell(line, { cwd: folder });

describe("a device or a pipe is written through, and is one afterwards", () => {
  it.each([
    ["/dev/null", "assay convert in.bin /dev/null --to raw && test -c /dev/null", ""],
    ["/dev/null by force", "assay convert in.bin /dev/null --to raw --force && test -c /dev/null", ""],
    ["/dev/stdout into a pipe", "assay convert in.bin /dev/stdout --to raw --quiet | sha256sum", "sum"],
    ["- into a pipe", "assay convert in.bin - --to raw --quiet | sha256sum", "sum"],
    ["a process substitution", "assay convert in.bin >(sha256sum > sum) --to raw && sleep 0.3 && cat sum", "sum"],
    [
      "a named pipe",
      "mkfifo p && (sha256sum < p > sum & assay convert in.bin p --to raw && wait) && test -p p && cat sum",
      "sum",
    ],
    [
      "a link to a device",
      "ln -s /dev/null n && assay convert in.bin n --to raw --force && test -L n && test -c n",
      "",
    ],
  ])("%s", async (_what, line, expected) => {
    const { code, stdout, stderr } = await run(line);
    expect(code, stderr).toBe(0);
    const { stdout: sum } = await run("sha256sum < in.bin");
    expect(stdout.toString()).toBe(expected === "sum" ? sum.toString() : "");
    expect(fs.lstatSync("/dev/null").isCharacterDevice()).toBe(true);
  });

  it("a device without room is no success", async () => {
    expect((await run("assay convert in.bin /dev/full --to raw")).code).toBe(2);
  });

  it.each([
    ["/dev/null", "--out /dev/null --to raw && test -c /dev/null"],
    ["a named pipe", "--out p --to intel-hex & cat p > got.hex; wait && test -p p && head -c 9 got.hex"],
  ])("by the command donor: %s", async (_what, rest) => {
    for (const name of ["donor-same.s19.gz", "starboard.bin.gz", "port.hex.gz", "profile.json", "job-donor.json"]) {
      fs.copyFileSync(new URL(`../../../../test-vectors/workboat/${name}`, import.meta.url), at(name));
    }
    const known = "--profile profile.json --twin port.hex.gz --job job-donor.json --side starboard --quiet";
    const { code, stdout, stderr } = await run(
      `mkfifo p; assay donor starboard.bin.gz donor-same.s19.gz ${known} ${rest}`,
    );
    expect(code, stderr).toBe(0);
    expect(stdout.toString()).toContain("donor: clear");
    if (rest.includes("got.hex")) {
      expect(fs.readFileSync(at("got.hex"), "latin1").trimEnd().endsWith(":00000001FF")).toBe(true);
    }
  });
});

describe("a file that is there", () => {
  it("stays without --force, and goes with it, whole", async () => {
    fs.writeFileSync(at("out.bin"), "old");
    expect((await run("assay convert in.bin out.bin")).code).toBe(2);
    expect(fs.readFileSync(at("out.bin"), "utf8")).toBe("old");
    expect((await run("assay convert in.bin out.bin --force")).code).toBe(0);
    expect(fs.readFileSync(at("out.bin")).equals(content)).toBe(true);
  });

  it.each([
    ["its own name", "in.bin", ""],
    ["a symbolic link", "s", "ln -s in.bin s; "],
    ["a hard link", "h", "ln in.bin h; "],
    ["capitals", "IN.BIN", ""],
    ["a linked folder", "d/in.bin", "ln -s . d; "],
    ["the descriptor it is read from", "/dev/stdin", ""],
  ])("is never written to when it is the input: by %s", async (_how, name, before) => {
    const input = name === "/dev/stdin" ? "- " : "in.bin ";
    const { code, stderr } = await run(`${before}assay convert ${input} ${name} --to s-record --force < in.bin`);
    expect(code).toBe(2);
    expect(stderr).toContain("output/over-input");
    expect(fs.readFileSync(at("in.bin")).equals(content)).toBe(true);
  });

  it("is never written to when it is the input and standard output is set to it", async () => {
    expect((await run("assay convert in.bin - --to s-record >> in.bin")).code).toBe(2);
    expect(fs.readFileSync(at("in.bin")).equals(content)).toBe(true);
  });
});

describe("no part of a file is left", () => {
  it("where a file may not grow so large", async () => {
    fs.writeFileSync(at("old.bin"), "old");
    for (const target of ["new.bin", "old.bin --force"]) {
      const { code, stderr } = await run(`ulimit -f 2; assay convert in.bin ${target}`);
      expect({ code, stderr }).toEqual({ code: 2, stderr: expect.stringContaining("EFBIG") });
    }
    expect(fs.readdirSync(folder).sort()).toEqual(["in.bin", "old.bin"]);
    expect(fs.readFileSync(at("old.bin"), "utf8")).toBe("old");
  });

  it("by a run that was killed, once the next has run", async () => {
    fs.writeFileSync(at("large.bin"), Buffer.alloc(24_000_000, 7));
    const args = [program, "convert", "large.bin", "out.hex"];
    let killed = 0;
    for (let i = 0; killed === 0 && i < 8; i++) {
      const child = spawn(process.execPath, args, { cwd: folder, stdio: "ignore" });
      const closed = once(child, "close");
      let over = false;
      closed.then(() => (over = true));
      while (!over && !fs.readdirSync(folder).some((name) => name.endsWith(".partial"))) {
        await new Promise((resolve) => setTimeout(resolve, 1));
      }
      child.kill("SIGKILL");
      await closed;
      fs.rmSync(at("out.hex"), { force: true });
      killed = fs.readdirSync(folder).filter((name) => name.endsWith(".partial")).length;
    }
    expect(killed).toBe(1);
    fs.writeFileSync(at(".assay-0123456789abcdef-1-0123456789abcdef.partial"), "of another machine");
    fs.writeFileSync(at(".assay-mine.partial"), "of somebody else");
    expect((await run("assay convert in.bin out.bin")).code).toBe(0);
    expect(fs.readdirSync(folder).sort()).toEqual([
      ".assay-0123456789abcdef-1-0123456789abcdef.partial",
      ".assay-mine.partial",
      "in.bin",
      "large.bin",
      "out.bin",
    ]);
  });
});
