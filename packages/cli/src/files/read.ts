import { constants } from "node:fs";
import { Refusal } from "@assay/core";
import type { World } from "../world.js";
import { type FileIdentity, foldedPlace, type Protected } from "./identity.js";
import { kindOf, systemRefusal } from "./problem.js";

/** The largest file that is read unless somebody names another limit. */
export const USUAL_LIMIT = 256 * 2 ** 20;

/** What was read, whole, and of which file. */
export interface FileRead {
  readonly name: string;
  readonly bytes: Uint8Array;
  /** Undefined where the bytes have no file, as in a pipe. */
  readonly source: Protected | undefined;
}

/** How standard input is named on the command line and in messages. */
export const STANDARD_INPUT = "-";

/**
 * The whole file at `path`, or standard input for `-`. The file is opened once, looked at, read and looked at again: what
 * comes back was there as one piece. Opening does not wait for anybody, so a named pipe is refused and not waited for.
 * @throws Refusal when it is no ordinary file, too large, unreadable, or changes meanwhile
 */
export function readFile(world: World, path: string, limit: number = USUAL_LIMIT): Promise<FileRead> {
  return path === STANDARD_INPUT
    ? readStandardInput(world, limit)
    : Promise.resolve().then(() => readNamed(world, path, limit));
}

function readNamed({ files }: World, path: string, limit: number): FileRead {
  const wanted = "a file that can be read";
  const refused = (error: unknown) => systemRefusal("input/unreadable", path, wanted, error);
  let handle: number;
  try {
    handle = files.openSync(path, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0));
  } catch (error) {
    throw refused(error);
  }
  try {
    const before = files.fstatSync(handle, { bigint: true });
    if (!before.isFile()) {
      const ordinary = `an ordinary file${before.isFIFO() ? ", or - for standard input" : ""}`;
      throw new Refusal("input/not-a-file", `expected ${ordinary}, got ${kindOf(before)}`, { file: path });
    }
    if (before.size > BigInt(limit)) throw tooLarge(path, limit, before.size);
    const bytes = new Uint8Array(Number(before.size));
    let filled = 0;
    while (filled < bytes.length) {
      const count = files.readSync(handle, bytes, filled, bytes.length - filled, null);
      if (count === 0) break;
      filled += count;
    }
    const more = files.readSync(handle, new Uint8Array(1), 0, 1, null);
    const after = files.fstatSync(handle, { bigint: true });
    const same = before.size === after.size && before.mtimeNs === after.mtimeNs && before.ctimeNs === after.ctimeNs;
    if (filled < bytes.length || more > 0 || !same) throw changed(path, before.size, after.size);
    const identity: FileIdentity = { device: before.dev, inode: before.ino };
    return { name: path, bytes, source: { name: path, kind: "input", identity, place: foldedPlace(files, path) } };
  } catch (error) {
    throw refused(error);
  } finally {
    files.closeSync(handle);
  }
}

async function readStandardInput({ stdin, files }: World, limit: number): Promise<FileRead> {
  const name = STANDARD_INPUT;
  if (stdin.isTerminal) {
    throw new Refusal("input/terminal", "expected a file or a pipe as standard input, got a terminal", { file: name });
  }
  const pieces: Uint8Array[] = [];
  let length = 0;
  try {
    const stats = files.fstatSync(0, { bigint: true });
    if (stats.isDirectory())
      throw new Refusal("input/not-a-file", "expected a file or a pipe, got a folder", { file: name });
    if (stats.isFile() && stats.size > BigInt(limit)) throw tooLarge(name, limit, stats.size);
    for await (const piece of stdin.pieces()) {
      length += piece.length;
      if (length > limit) throw tooLarge(name, limit, undefined);
      pieces.push(piece);
    }
    const bytes = new Uint8Array(length);
    let filled = 0;
    for (const piece of pieces) {
      bytes.set(piece, filled);
      filled += piece.length;
    }
    const identity = { device: stats.dev, inode: stats.ino };
    return { name, bytes, source: stats.isFile() ? { name, kind: "input", identity, place: undefined } : undefined };
  } catch (error) {
    throw systemRefusal("input/unreadable", name, "standard input that can be read", error);
  }
}

function tooLarge(file: string, limit: number, size: bigint | undefined): Refusal {
  const got = size === undefined ? "more" : `${size}`;
  return new Refusal("input/too-large", `expected at most ${limit} bytes (--max-size sets another limit), got ${got}`, {
    file,
  });
}

function changed(file: string, before: bigint, after: bigint): Refusal {
  const how = before === after ? "other content" : `${after} bytes`;
  return new Refusal(
    "input/changed-while-reading",
    `expected a file that stays as it is, got one that changed while reading: ${before} bytes, then ${how}`,
    { file },
  );
}
