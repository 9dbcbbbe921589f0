import { execFileSync } from "node:child_process";
import * as fs from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { readFile } from "../../src/files/read.js";
import { targetAt } from "../../src/files/target.js";
import { temporaryFolder } from "../support/folder.js";
import { refusalOf, stillWorld } from "../support/world.js";

const folder = temporaryFolder();
const at = (name: string) => join(folder, name);
const world = stillWorld();

fs.mkdirSync(at("sub"));
fs.writeFileSync(at("read.bin"), "the only good read");
fs.linkSync(at("read.bin"), at("hard.bin"));
fs.symlinkSync("read.bin", at("soft.bin"));
fs.symlinkSync(at("soft.bin"), at("sub/far.bin"));
fs.symlinkSync(folder, at("same-folder"));
fs.writeFileSync(at("caf\u00e9.bin"), "a name in composed form");

async function worldThatRead(name: string) {
  const world = stillWorld();
  const { source } = await readFile(world, at(name));
  if (source) world.kept.push(source);
  return world;
}

describe("an input is never written to, whatever it is called and whatever is forced", () => {
  it.each([
    ["its own path", "read.bin"],
    ["a detour", "sub/../read.bin"],
    ["a dot", "./read.bin"],
    ["a hard link", "hard.bin"],
    ["a symbolic link", "soft.bin"],
    ["a link to a link from elsewhere", "sub/far.bin"],
    ["a folder that is a link", "same-folder/read.bin"],
    ["another case", "READ.bin"],
    ["another case through a linked folder", "same-folder/Read.BIN"],
  ])("%s", async (_how, name) => {
    const world = await worldThatRead("read.bin");
    for (const force of [false, true]) {
      // Joining would take the detours out of the path.
      expect(await refusalOf(() => targetAt(world, `${folder}/${name}`, force))).toBe("output/over-input");
    }
  });

  it("a name that is composed of other characters and reads the same", async () => {
    const world = await worldThatRead("caf\u00e9.bin");
    const target = () => targetAt(world, at("cafe\u0301.bin"), true);
    expect(await refusalOf(target)).toBe("output/over-input");
  });

  it("the input when it was read through a link", async () => {
    const world = await worldThatRead("soft.bin");
    expect(await refusalOf(() => targetAt(world, at("hard.bin"), true))).toBe("output/over-input");
  });
});

describe("other places", () => {
  it("a free name is new", () => expect(targetAt(world, at("new.bin"), false).kind).toBe("new"));
  it("- is standard output", () => expect(targetAt(world, "-", false).kind).toBe("stdout"));

  it("a file that is there is replaced only by force, and a link to it leads to it", async () => {
    fs.writeFileSync(at("old.bin"), "old", { mode: 0o640 });
    fs.symlinkSync("old.bin", at("to-old.bin"));
    expect(await refusalOf(() => targetAt(world, at("old.bin"), false))).toBe("output/exists");
    expect(targetAt(world, at("to-old.bin"), true)).toEqual({
      kind: "replace",
      path: fs.realpathSync(at("old.bin")),
      mode: 0o640,
    });
  });

  it("a device and a named pipe are written through, never replaced", () => {
    execFileSync("mkfifo", [at("pipe")]);
    for (const force of [false, true]) {
      expect(targetAt(world, "/dev/null", force).kind).toBe("through");
      expect(targetAt(world, at("pipe"), force).kind).toBe("through");
    }
  });

  it.each([
    ["a folder", "sub", "output/not-a-file"],
    ["a link that leads nowhere", "dangling.bin", "output/exists"],
    ["a folder that is not there", "nowhere/new.bin", "output/no-folder"],
    ["a path through a file", "read.bin/new.bin", "output/unwritable"],
  ])("%s is refused", async (_what, name, code) => {
    if (name === "dangling.bin") fs.symlinkSync("nothing", at(name));
    expect(await refusalOf(() => targetAt(world, at(name), true))).toBe(code);
  });
});
