import * as fs from "node:fs";
import { join } from "node:path";
import { beforeEach, describe, expect, it } from "vitest";
import type { FileSystem } from "../../src/files/file-system.js";
import { LOCK_SUFFIX, lockFile, takeLock } from "../../src/files/lock.js";
import type { World } from "../../src/world.js";
import { temporaryFolder } from "../support/folder.js";
import { refusalOf, stillWorld, systemError } from "../support/world.js";

const root = temporaryFolder();
let folder = "";
let count = 0;
beforeEach(() => {
  folder = join(root, String(count++));
  fs.mkdirSync(folder);
});
const path = () => join(folder, "record.json");
const lock = () => path() + LOCK_SUFFIX;
const left = () => fs.readdirSync(folder).sort();

/** A process of a place where those of `living` run. */
function processWorld(own: number, living: Iterable<number>, replaced: Partial<FileSystem> = {}): World {
  const alive = new Set(living);
  const processes = { own, place: "0123456789abcdef", isRunning: (number: number) => alive.has(number) };
  return { ...stillWorld(replaced), processes };
}
const holder = (own: number, token = "a".repeat(16), place = "0123456789abcdef") => `assay ${token} ${own} ${place}`;

const plain = {
  symlinkSync: () => {
    throw systemError("EPERM");
  },
};

describe.each([
  ["by link", {}],
  ["by plain file, where there are no links", plain],
] as [string, Partial<FileSystem>][])("a lock %s", (_how, replaced) => {
  it("is there while it is held, and gone afterwards", async () => {
    const release = await lockFile(processWorld(7, [7], replaced), path());
    expect(left()).toEqual([`record.json${LOCK_SUFFIX}`]);
    release();
    expect(left()).toEqual([]);
  });

  it("keeps others out until it is given up", async () => {
    const world = processWorld(7, [7, 8], replaced);
    const release = await lockFile(world, path());
    expect(await refusalOf(() => lockFile(processWorld(8, [7, 8], replaced), path(), 40))).toBe("record/locked");
    const waiting = lockFile(processWorld(8, [7, 8], replaced), path());
    release();
    (await waiting)();
    expect(left()).toEqual([]);
  });

  it("of a dead process is taken over, and nothing stays", async () => {
    await lockFile(processWorld(7, [7], replaced), path()); // killed: never given up
    const release = await lockFile(processWorld(8, [8], replaced), path(), 0);
    expect(left()).toHaveLength(2);
    release();
    expect(left()).toEqual([]);
  });

  it("is taken over by one only, even when those who took over died too", async () => {
    await lockFile(processWorld(1, [1], replaced), path());
    for (let own = 2; own < 6; own++) await lockFile(processWorld(own, [own], replaced), path(), 0);
    const release = await lockFile(processWorld(6, [6, 7], replaced), path(), 0);
    expect(await refusalOf(() => lockFile(processWorld(7, [6, 7], replaced), path(), 40))).toBe("record/locked");
    release();
    expect(left()).toEqual([]);
  });
});

describe("a lock that cannot be judged stays, and is named", () => {
  it.each([
    ["from another machine", holder(1, undefined, "fedcba9876543210")],
    ["of something else", "somebody@elsewhere"],
    ["with a number that no process has", "assay aaaaaaaaaaaaaaaa 99999999999 0123456789abcdef"],
  ])("%s", async (_what, text) => {
    fs.symlinkSync(text, lock());
    expect(await refusalOf(() => lockFile(processWorld(8, [8]), path(), 30))).toBe("record/locked");
    expect(fs.readlinkSync(lock())).toBe(text);
    await expect(lockFile(processWorld(8, [8]), path(), 0)).rejects.toThrow(/remove .*record\.json\.lock$/);
  });

  it.each([
    ["an empty file", () => fs.writeFileSync(lock(), "")],
    ["a folder", () => fs.mkdirSync(lock())],
    ["a large file", () => fs.writeFileSync(lock(), Buffer.alloc(100_000, "a"))],
  ])("%s", async (_what, make) => {
    make();
    expect(await refusalOf(() => lockFile(processWorld(8, [8]), path(), 30))).toBe("record/locked");
    expect(fs.existsSync(lock())).toBe(true);
  });
});

it.each(["EACCES", "EROFS", "ENOSPC"])("says so where no lock can be made: %s", async (code) => {
  const failing = {
    symlinkSync: () => {
      throw systemError(code);
    },
  };
  expect(await refusalOf(() => lockFile(processWorld(8, [8], failing), path(), 30))).toBe("record/unwritable");
  expect(left()).toEqual([]);
});

it("does not leave a lock that it could not finish", async () => {
  const failing = {
    ...plain,
    writeSync: () => {
      throw systemError("ENOSPC");
    },
  };
  expect(await refusalOf(() => lockFile(processWorld(8, [8], failing as never), path(), 30))).toBe("record/unwritable");
  expect(left()).toEqual([]);
});

// A process is stopped between two of its calls to the file system while others take the lock, give it up and take it
// again. Every place for every step of theirs is tried.
describe("whoever is stopped in between", () => {
  const { symlinkSync, readlinkSync, unlinkSync } = fs;

  /** A world in which `steps[n]` happen before the call number `n`. */
  function stopped(own: number, living: readonly number[], steps: ReadonlyMap<number, readonly (() => void)[]>): World {
    let made = 0;
    const calls = Object.entries({ symlinkSync, readlinkSync, unlinkSync }).map(([name, call]) => [
      name,
      (...args: never[]) => {
        for (const step of steps.get(made++) ?? []) step();
        return (call as (...given: never[]) => unknown)(...args);
      },
    ]);
    return processWorld(own, living, Object.fromEntries(calls));
  }

  /** The non-decreasing rows of `length` numbers below `limit`. */
  function* rows(length: number, limit: number, least = 0): Generator<number[]> {
    if (length === 0) yield [];
    else
      for (let first = least; first < limit; first++)
        for (const rest of rows(length - 1, limit, first)) yield [first, ...rest];
  }

  it.each([0, 1, 2])("never holds the lock together with another, after %i deaths", async (deaths) => {
    const living = [20, 21, 22];
    let took = 0;
    let gaveWay = 0;
    for (const lastIsLate of [false, true]) {
      for (const at of rows(4, 8)) {
        for (const name of fs.readdirSync(folder)) fs.unlinkSync(join(folder, name));
        for (let own = 1; own <= deaths; own++) takeLock(processWorld(own, [own]), lock());
        const holders = new Set<number>();
        // The second takes the lock, and gives it up link by link; the third takes it when the first link is gone.
        const unlinks: string[] = [];
        const slow = { unlinkSync: ((name: string) => unlinks.push(name)) as unknown as FileSystem["unlinkSync"] };
        const take = (own: number, world: World) => {
          const taken = takeLock(world, lock());
          if (typeof taken === "string") return undefined;
          holders.add(own);
          return taken;
        };
        const unlink = () => {
          const name = unlinks.shift();
          if (name !== undefined) fs.unlinkSync(name);
        };
        const steps = [
          () => {
            const release = take(21, processWorld(21, living, slow));
            release?.();
          },
          () => {
            holders.delete(21);
            unlink();
          },
          ...(lastIsLate ? [() => unlinks.splice(0).forEach((name) => void fs.unlinkSync(name))] : []),
          () => void take(22, processWorld(22, living)),
          ...(lastIsLate ? [] : [() => unlinks.splice(0).forEach((name) => void fs.unlinkSync(name))]),
        ];
        const placed = new Map<number, (() => void)[]>();
        for (const [i, step] of steps.entries()) {
          const before = placed.get(at[i] as number) ?? [];
          placed.set(at[i] as number, [...before, step]);
        }
        const own = take(20, stopped(20, living, placed));
        expect(holders.size, `${at} ${lastIsLate}`).toBeLessThanOrEqual(1);
        if (own) took++;
        else gaveWay++;
      }
    }
    expect(took).toBeGreaterThan(0);
    expect(gaveWay).toBeGreaterThan(0);
  });
});
