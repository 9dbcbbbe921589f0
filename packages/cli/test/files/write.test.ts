import { execFileSync, spawn, spawnSync } from "node:child_process";
import { once } from "node:events";
import * as fs from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";
import { beforeEach, describe, expect, it } from "vitest";
import type { FileSystem } from "../../src/files/file-system.js";
import { PARTIAL_PREFIX } from "../../src/files/partial.js";
import { targetAt } from "../../src/files/target.js";
import { writeFile } from "../../src/files/write.js";
import { temporaryFolder } from "../support/folder.js";
import { refusalOf, stillWorld, systemError } from "../support/world.js";

const root = temporaryFolder();
let folder = "";
let count = 0;
beforeEach(() => {
  folder = join(root, String(count++));
  fs.mkdirSync(folder);
});
const at = (name: string) => join(folder, name);
const bytes = Uint8Array.from({ length: 10_000 }, (_, i) => (i * 7) % 256);
const write = (path: string, force = false, replaced: Partial<FileSystem> = {}, content = bytes) => {
  const world = stillWorld(replaced);
  return writeFile(world, targetAt(world, path, force), content);
};

describe("writing", () => {
  it("leaves the bytes under the name and nothing else in the folder", async () => {
    await write(at("new.bin"));
    expect(new Uint8Array(fs.readFileSync(at("new.bin")))).toEqual(bytes);
    expect(fs.readdirSync(folder)).toEqual(["new.bin"]);
  });

  it("writes a file without bytes", async () => {
    await write(at("empty.bin"), false, {}, new Uint8Array(0));
    expect(fs.statSync(at("empty.bin")).size).toBe(0);
  });

  it("replaces by force, keeps the mode, and follows a link instead of replacing it", async () => {
    fs.writeFileSync(at("old.bin"), "old");
    fs.chmodSync(at("old.bin"), 0o600);
    fs.symlinkSync("old.bin", at("link.bin"));
    await write(at("link.bin"), true);
    expect(new Uint8Array(fs.readFileSync(at("old.bin")))).toEqual(bytes);
    expect(fs.statSync(at("old.bin")).mode & 0o777).toBe(0o600);
    expect(fs.lstatSync(at("link.bin")).isSymbolicLink()).toBe(true);
    expect(fs.readdirSync(folder).sort()).toEqual(["link.bin", "old.bin"]);
  });

  it("goes on where the system takes less than it was given", async () => {
    const writeSync = ((handle: number, buffer: Uint8Array, offset: number, length: number) =>
      fs.writeSync(handle, buffer, offset, Math.min(length, 999))) as FileSystem["writeSync"];
    await write(at("new.bin"), false, { writeSync });
    expect(new Uint8Array(fs.readFileSync(at("new.bin")))).toEqual(bytes);
  });

  it("writes without hard links too, as on FAT", async () => {
    const linkSync = () => {
      throw systemError("EPERM");
    };
    await write(at("new.bin"), false, { linkSync });
    expect(new Uint8Array(fs.readFileSync(at("new.bin")))).toEqual(bytes);
    expect(fs.readdirSync(folder)).toEqual(["new.bin"]);
  });

  it.each([
    ["with hard links", false],
    ["without", true],
  ])("does not touch a file that came into being meanwhile, %s", async (_how, withoutLinks) => {
    const world = stillWorld(
      withoutLinks
        ? {
            linkSync: () => {
              throw systemError("ENOTSUP");
            },
          }
        : {},
    );
    const target = targetAt(world, at("new.bin"), false);
    fs.writeFileSync(at("new.bin"), "somebody else's");
    expect(await refusalOf(() => writeFile(world, target, bytes))).toBe("output/exists");
    expect(fs.readFileSync(at("new.bin"), "latin1")).toBe("somebody else's");
    expect(fs.readdirSync(folder)).toEqual(["new.bin"]);
  });

  it("goes through a named pipe to whoever reads it", async () => {
    execFileSync("mkfifo", [at("pipe")]);
    const reader = spawn("cat", [at("pipe")], { stdio: ["ignore", "pipe", "inherit"] });
    const pieces: Buffer[] = [];
    reader.stdout.on("data", (piece: Buffer) => pieces.push(piece));
    await write(at("pipe"));
    await new Promise((resolve) => reader.once("close", resolve));
    expect(new Uint8Array(Buffer.concat(pieces))).toEqual(bytes);
    expect(fs.statSync(at("pipe")).isFIFO()).toBe(true);
  });

  it("hands - to standard output", async () => {
    const world = stillWorld();
    await writeFile(world, targetAt(world, "-", false), bytes);
    expect(new Uint8Array(Buffer.concat(world.written))).toEqual(bytes);
  });
});

describe("when it cannot be done", () => {
  const failing = (code: string) => () => {
    throw systemError(code);
  };
  const short = ((handle: number, buffer: Uint8Array, offset: number, length: number) =>
    fs.writeSync(handle, buffer, offset, length) && 0) as FileSystem["writeSync"];

  it.each([
    ["the disk fills", { writeSync: failing("ENOSPC") }, "output/unwritable"],
    ["nothing is taken", { writeSync: short }, "output/unwritable"],
    ["the disk fails on forcing", { fsyncSync: failing("EIO") }, "output/unwritable"],
    ["the size is not what was written", { fstatSync: () => ({ size: 1 }) }, "output/not-as-written"],
    [
      "other bytes come back",
      {
        readSync: (_handle: number, buffer: Uint8Array, offset: number, length: number) => {
          buffer.fill(0, offset, offset + length);
          return length;
        },
      },
      "output/not-as-written",
    ],
    ["the name cannot be given", { linkSync: failing("EIO"), renameSync: failing("EIO") }, "output/unwritable"],
    [
      "there are no links and no renaming",
      { linkSync: failing("EPERM"), renameSync: failing("EIO") },
      "output/unwritable",
    ],
    ["no file can be made", { openSync: failing("EROFS") }, "output/unwritable"],
  ] as [string, object, string][])("%s: nothing of it is left, and an old file stays", async (_how, replaced, code) => {
    expect(await refusalOf(() => write(at("new.bin"), false, replaced as Partial<FileSystem>))).toBe(code);
    expect(fs.readdirSync(folder)).toEqual([]);
    if ("linkSync" in replaced && !("renameSync" in replaced)) return;
    fs.writeFileSync(at("old.bin"), "old");
    expect(await refusalOf(() => write(at("old.bin"), true, replaced as Partial<FileSystem>))).toBe(code);
    expect(fs.readdirSync(folder)).toEqual(["old.bin"]);
    expect(fs.readFileSync(at("old.bin"), "latin1")).toBe("old");
  });

  it("a device without room says so", async () => {
    expect(await refusalOf(() => write("/dev/full"))).toBe("output/unwritable");
  });

  const mounted = (() => {
    const place = join(root, "small");
    fs.mkdirSync(place);
    const { status } = spawnSync("mount", ["-t", "tmpfs", "-o", "size=128k", "tmpfs", place], { stdio: "ignore" });
    return status === 0 ? place : undefined;
  })();
  it.skipIf(!mounted)("a disk of 128 KiB keeps the old file and gets no part of the new one", async () => {
    const place = mounted as string;
    try {
      fs.writeFileSync(join(place, "good.bin"), Buffer.alloc(20_000, 1));
      const large = new Uint8Array(200_000);
      expect(await refusalOf(() => write(join(place, "good.bin"), true, {}, large))).toBe("output/unwritable");
      expect(await refusalOf(() => write(join(place, "new.bin"), false, {}, large))).toBe("output/unwritable");
      expect(fs.readdirSync(place)).toEqual(["good.bin"]);
      expect(fs.readFileSync(join(place, "good.bin")).equals(Buffer.alloc(20_000, 1))).toBe(true);
    } finally {
      execFileSync("umount", [place]);
    }
  });
});

describe("when the program is ended in the middle", () => {
  const source = (name: string) => fileURLToPath(new URL(`../../src/${name}`, import.meta.url));
  const writer = join(root, "writer.mjs");
  const program = `
    import { writeFile } from ${JSON.stringify(source("files/write.ts"))};
    import { targetAt } from ${JSON.stringify(source("files/target.ts"))};
    import { nodeWorld } from ${JSON.stringify(source("node-world.ts"))};
    const world = nodeWorld();
    process.stdout.write("ready");
    for (let i = 0; ; i++) {
      await writeFile(world, targetAt(world, process.argv[2], i > 0), new Uint8Array(6_000_000).fill(i + 1));
    }`;

  async function endedWith(signal: NodeJS.Signals, after: number) {
    if (!fs.existsSync(writer)) {
      const core = fileURLToPath(new URL("../../../core/src/index.ts", import.meta.url));
      await build({
        stdin: { contents: program, resolveDir: root },
        bundle: true,
        platform: "node",
        format: "esm",
        outfile: writer,
        alias: { "@assay/core": core },
      });
    }
    const child = spawn(process.execPath, [writer, at("target.bin")], { stdio: ["ignore", "pipe", "inherit"] });
    const closed = once(child, "close");
    await Promise.race([once(child.stdout, "data"), closed]);
    await new Promise((resolve) => setTimeout(resolve, after));
    child.kill(signal);
    const [, by] = await closed;
    return by;
  }

  /** Nothing, or one whole version. */
  function expectWhole() {
    if (!fs.existsSync(at("target.bin"))) return;
    const content = fs.readFileSync(at("target.bin"));
    expect(content.length).toBe(6_000_000);
    expect(content.equals(Buffer.alloc(6_000_000, content[0]))).toBe(true);
  }

  it.each([0, 3, 8, 14, 22, 35, 60])("by force after %i ms, the target is whole or absent", async (after) => {
    expect(await endedWith("SIGKILL", after)).toBe("SIGKILL");
    expectWhole();
  });

  it("by Ctrl-C, the half-written file is removed too, and the signal is passed on", async () => {
    for (const after of [3, 12, 30]) {
      // The first write replaces nothing, so what the run before has finished must be gone.
      fs.rmSync(at("target.bin"), { force: true });
      expect(await endedWith("SIGINT", after)).toBe("SIGINT");
      expectWhole();
      expect(fs.readdirSync(folder).filter((name) => name.startsWith(PARTIAL_PREFIX))).toEqual([]);
    }
  });
});
