import { execFileSync } from "node:child_process";
import * as fs from "node:fs";
import { createServer } from "node:net";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import type { FileSystem } from "../../src/files/file-system.js";
import { readFile } from "../../src/files/read.js";
import { temporaryFolder } from "../support/folder.js";
import { refusalOf, stillWorld, systemError } from "../support/world.js";

const folder = temporaryFolder();
const at = (name: string) => join(folder, name);
const content = Uint8Array.from({ length: 3000 }, (_, i) => i % 251);
fs.writeFileSync(at("read.bin"), content);

describe("reading", () => {
  it("gives the whole file, and which file it was", async () => {
    const { bytes, name, source } = await readFile(stillWorld(), at("read.bin"));
    expect(bytes).toEqual(content);
    expect(name).toBe(at("read.bin"));
    expect(source?.identity?.inode).toBe(fs.statSync(at("read.bin"), { bigint: true }).ino);
  });

  it("goes on where the system gives less than it was asked for", async () => {
    const readSync = ((handle: number, buffer: Uint8Array, offset: number, length: number, position: number | null) =>
      fs.readSync(handle, buffer, offset, Math.min(length, 7), position)) as FileSystem["readSync"];
    expect((await readFile(stillWorld({ readSync }), at("read.bin"))).bytes).toEqual(content);
  });

  it("follows a link to a file", async () => {
    fs.symlinkSync("read.bin", at("link.bin"));
    expect((await readFile(stillWorld(), at("link.bin"))).bytes).toEqual(content);
  });

  it("reads an empty file as no bytes", async () => {
    fs.writeFileSync(at("empty.bin"), "");
    expect((await readFile(stillWorld(), at("empty.bin"))).bytes).toHaveLength(0);
  });
});

describe("what is refused, at once", () => {
  const refused = async (path: string, limit?: number) => {
    return refusalOf(() => readFile(stillWorld(), path, limit));
  };

  it("a named pipe that nobody writes to", async () => {
    execFileSync("mkfifo", [at("pipe")]);
    expect(await refused(at("pipe"))).toBe("input/not-a-file");
    await expect(readFile(stillWorld(), at("pipe"))).rejects.toThrow("or - for standard input, got a named pipe");
  });

  it("a folder, a device, a socket", async () => {
    expect(await refused(folder)).toBe("input/not-a-file");
    expect(await refused("/dev/zero")).toBe("input/not-a-file");
    const server = createServer().listen(at("socket"));
    await new Promise((resolve) => server.once("listening", resolve));
    expect(await refused(at("socket"))).toBe("input/unreadable");
    server.close();
  });

  it("a file of 10 GiB, without reading any of it", async () => {
    fs.writeFileSync(at("large.bin"), "");
    fs.truncateSync(at("large.bin"), 10 * 2 ** 30);
    expect(await refused(at("large.bin"))).toBe("input/too-large");
    expect(await refused(at("read.bin"), 2999)).toBe("input/too-large");
    expect(await refused(at("read.bin"), 3000)).toBe(undefined);
  });

  it("what is not there, leads through a file, or has a NUL in its name", async () => {
    expect(await refused(at("nothing.bin"))).toBe("input/unreadable");
    expect(await refused(at("read.bin/inside"))).toBe("input/unreadable");
    expect(await refused("a\0b")).toBe("input/unreadable");
  });

  it("links that lead in a circle, or nowhere", async () => {
    fs.symlinkSync("circle", at("circle"));
    fs.symlinkSync("nowhere", at("dangling"));
    expect(await refused(at("circle"))).toBe("input/unreadable");
    expect(await refused(at("dangling"))).toBe("input/unreadable");
  });
});

describe("a file that changes while it is read", () => {
  /** A world in which `change` happens to the file after the first piece was read. */
  function changingWorld(change: () => void) {
    let changed = false;
    const readSync = ((handle: number, buffer: Uint8Array, offset: number, length: number, position: number | null) => {
      const count = fs.readSync(handle, buffer, offset, Math.min(length, 1000), position);
      if (!changed) change();
      changed = true;
      return count;
    }) as FileSystem["readSync"];
    return stillWorld({ readSync });
  }

  it.each([
    ["grows", () => fs.appendFileSync(at("changing.bin"), "more")],
    ["shrinks", () => fs.truncateSync(at("changing.bin"), 1500)],
    [
      "gets other content of the same size",
      () => fs.writeFileSync(at("changing.bin"), content.slice().reverse(), { flag: "r+" }),
    ],
  ])("%s", async (_how, change) => {
    fs.writeFileSync(at("changing.bin"), content);
    // The clock of a file ticks in steps of some milliseconds: a change in the same step as the writing has its time.
    fs.utimesSync(at("changing.bin"), 1, 1);
    expect(await refusalOf(() => readFile(changingWorld(change), at("changing.bin")))).toBe(
      "input/changed-while-reading",
    );
  });

  it("is read whole when its link is turned to another file: it was opened once", async () => {
    fs.writeFileSync(at("other.bin"), "other");
    fs.symlinkSync("read.bin", at("turning.bin"));
    const turn = () => {
      fs.unlinkSync(at("turning.bin"));
      fs.symlinkSync("other.bin", at("turning.bin"));
    };
    expect((await readFile(changingWorld(turn), at("turning.bin"))).bytes).toEqual(content);
  });

  it("counts as changed when another file takes its name", async () => {
    fs.writeFileSync(at("changing.bin"), content);
    const replace = () => fs.renameSync(at("other.bin"), at("changing.bin"));
    expect(await refusalOf(() => readFile(changingWorld(replace), at("changing.bin")))).toBe(
      "input/changed-while-reading",
    );
  });
});

it.each(["openSync", "fstatSync", "readSync"] as const)(
  "says so when %s fails, and leaves nothing open",
  async (call) => {
    const handles = () => fs.readdirSync("/proc/self/fd").length;
    const before = handles();
    const failing = stillWorld({
      [call]: () => {
        throw systemError("EIO");
      },
    });
    expect(await refusalOf(() => readFile(failing, at("read.bin")))).toBe("input/unreadable");
    expect(handles()).toBe(before);
  },
);

describe("standard input", () => {
  const worldWith = (pieces: readonly Uint8Array[], isTerminal = false) => ({
    ...stillWorld(),
    stdin: {
      isTerminal,
      async *pieces() {
        yield* pieces;
      },
    },
  });

  it("is read to its end, piece by piece", async () => {
    const world = worldWith([content.subarray(0, 5), content.subarray(5, 5), content.subarray(5)]);
    expect((await readFile(world, "-")).bytes).toEqual(content);
  });

  it("is given up as soon as there is more than the limit", async () => {
    async function* endless() {
      for (;;) yield content;
    }
    const world = { ...stillWorld(), stdin: { isTerminal: false, pieces: endless } };
    expect(await refusalOf(() => readFile(world, "-", 10_000))).toBe("input/too-large");
  });

  it("is not waited for at a terminal", async () => {
    expect(await refusalOf(() => readFile(worldWith([], true), "-"))).toBe("input/terminal");
  });
});
