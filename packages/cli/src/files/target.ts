import type { BigIntStats } from "node:fs";
import { dirname } from "node:path";
import { Refusal, type RefusalCode } from "@assay/core";
import type { World } from "../world.js";
import { foldedPlace, type Protected, sameFile } from "./identity.js";
import { kindOf, systemRefusal } from "./problem.js";

/** How standard output is named on the command line and in messages. */
export const STANDARD_OUTPUT = "-";

/** A place to write to that was looked at and found fit. */
export type Target =
  /** Standard output, a device or a pipe: bytes go through it, there is nothing to replace. */
  | { readonly kind: "stdout" }
  | { readonly kind: "through"; readonly path: string }
  /** A name that was free. */
  | { readonly kind: "new"; readonly path: string }
  /** A file that the caller said may go; `path` has its links resolved, `mode` is the old file's. */
  | { readonly kind: "replace"; readonly path: string; readonly mode: number };

/**
 * The target that `path` names. An input is never one, by whatever name, link or case; an existing file only with
 * `force`.
 * @throws Refusal when it may not be written to
 */
export function targetAt(world: World, path: string, force: boolean): Target {
  if (path === STANDARD_OUTPUT) return standardOutput(world);
  const { files, kept } = world;
  const refuse = (code: RefusalCode, expected: string, got: string) =>
    new Refusal(code, `expected ${expected}, got ${got}`, { file: path });
  const overInput = ({ name, kind }: Protected) =>
    refuse(
      "output/over-input",
      "a file of its own",
      `the ${kind} ${name}, which is never written ${kind === "record" ? "over" : "to"}`,
    );

  const place = foldedPlace(files, path);
  const sharing = kept.find((input) => place !== undefined && input.place === place);
  if (sharing) throw overInput(sharing);

  const stats = statOf(world, path);
  if (!stats) {
    if (isDangling(world, path)) {
      throw refuse("output/exists", "a file or a free name", "a link that leads nowhere");
    }
    if (!statOf(world, dirname(path)))
      throw refuse("output/no-folder", "a folder that is there", `${dirname(path)}, which is not`);
    return { kind: "new", path };
  }
  const same = kept.find(({ identity }) => sameFile(identity, { device: stats.dev, inode: stats.ino }));
  if (same) throw overInput(same);
  if (stats.isFile()) {
    if (!force) throw refuse("output/exists", "a free name (--force replaces a file)", "a file that is there already");
    return { kind: "replace", path: files.realpathSync.native(path), mode: Number(stats.mode & 0o777n) };
  }
  if (stats.isDirectory() || stats.isSocket() || stats.isBlockDevice()) {
    throw refuse("output/not-a-file", "a file", kindOf(stats));
  }
  return { kind: "through", path };
}

function standardOutput({ files, kept }: World): Target {
  let stats: BigIntStats;
  try {
    stats = files.fstatSync(1, { bigint: true });
  } catch {
    return { kind: "stdout" }; // closed: writing to it says so
  }
  const same = kept.find(({ identity }) => sameFile(identity, { device: stats.dev, inode: stats.ino }));
  if (stats.isFile() && same) {
    throw new Refusal(
      "output/over-input",
      `expected a file of its own, got the input ${same.name}, which is never written to`,
      {
        file: STANDARD_OUTPUT,
      },
    );
  }
  return { kind: "stdout" };
}

function statOf({ files }: World, path: string): BigIntStats | undefined {
  try {
    return files.statSync(path, { bigint: true });
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ENOENT") return undefined;
    throw systemRefusal("output/unwritable", path, "a place to write to", error);
  }
}

function isDangling({ files }: World, path: string): boolean {
  try {
    files.lstatSync(path);
    return true;
  } catch {
    return false;
  }
}
