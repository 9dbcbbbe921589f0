import { constants } from "node:fs";
import { dirname, join } from "node:path";
import { Refusal } from "@assay/core";
import type { World } from "../world.js";
import type { FileSystem } from "./file-system.js";
import { partialName, removePartialsOfTheDead } from "./partial.js";
import { systemRefusal } from "./problem.js";
import { STANDARD_OUTPUT, type Target } from "./target.js";

const pieceSize = 4 * 2 ** 20;

/**
 * Writes `bytes` to `target`, all or nothing: into a new file beside it, forced to the disk, read back and compared, and
 * only then given the name. A target that appeared meanwhile is not touched.
 * @throws Refusal when it could not be written; nothing of it is left then
 */
export async function writeFile(world: World, target: Target, bytes: Uint8Array): Promise<void> {
  const file = target.kind === "stdout" ? STANDARD_OUTPUT : target.path;
  try {
    if (target.kind === "stdout") await world.stdout.write(bytes);
    else if (target.kind === "through") await writeThrough(world.files, target.path, bytes);
    else await writeWhole(world, target, bytes);
  } catch (error) {
    throw systemRefusal("output/unwritable", file, "a place to write to", error);
  }
}

async function writeThrough(files: FileSystem, path: string, bytes: Uint8Array): Promise<void> {
  const handle = files.openSync(path, constants.O_WRONLY);
  try {
    await writeAll(files, handle, bytes);
  } finally {
    files.closeSync(handle);
  }
}

async function writeWhole(
  world: World,
  target: Target & { kind: "new" | "replace" },
  bytes: Uint8Array,
): Promise<void> {
  const { files } = world;
  const folder = dirname(target.path);
  removePartialsOfTheDead(world, folder);
  const partial = join(folder, partialName(world));
  const discard = () => {
    try {
      files.unlinkSync(partial);
    } catch {
      // It has been renamed, or it cannot be removed: what was written is right, or the error that led here says more.
    }
  };
  // Before the file is there: from its first moment on somebody sees to it.
  const release = world.onCancel(discard);
  try {
    const handle = files.openSync(partial, "wx+");
    try {
      await writeAll(files, handle, bytes);
      if (target.kind === "replace") files.fchmodSync(handle, target.mode);
      files.fsyncSync(handle);
      verify(files, handle, bytes, target.path);
    } finally {
      files.closeSync(handle);
    }
    await turn();
    if (target.kind === "replace") files.renameSync(partial, target.path);
    else nameNew(files, partial, target.path);
  } finally {
    discard();
    release();
  }
  syncFolder(files, folder);
}

/** In pieces, with a turn of the event loop between them so that a signal is heard. */
async function writeAll(files: FileSystem, handle: number, bytes: Uint8Array): Promise<void> {
  for (let done = 0; done < bytes.length; await turn()) {
    // The system may take less than it was given: on a nearly full disk it does, and says so with the next call.
    const count = files.writeSync(handle, bytes, done, Math.min(pieceSize, bytes.length - done), null);
    if (count <= 0) throw new Refusal("output/unwritable", "expected a place to write to, got one that takes nothing");
    done += count;
  }
}

function verify(files: FileSystem, handle: number, bytes: Uint8Array, file: string): void {
  const wrong = (got: string) =>
    new Refusal("output/not-as-written", `expected to read back what was written, got ${got}`, { file });
  const { size } = files.fstatSync(handle);
  if (size !== bytes.length) throw wrong(`${size} of ${bytes.length} bytes`);
  const piece = Buffer.alloc(Math.min(pieceSize, bytes.length));
  for (let done = 0; done < bytes.length; ) {
    const count = files.readSync(handle, piece, 0, Math.min(piece.length, bytes.length - done), done);
    if (count === 0) throw wrong(`${done} of ${bytes.length} bytes`);
    if (piece.compare(bytes, done, done + count, 0, count) !== 0) throw wrong("other bytes");
    done += count;
  }
}

/** Gives the file its name only if nobody has it: a link never replaces. */
function nameNew(files: FileSystem, partial: string, path: string): void {
  try {
    files.linkSync(partial, path);
    return;
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === "EEXIST") throw appeared(path);
    if (code === undefined || !["EPERM", "ENOTSUP", "EOPNOTSUPP", "ENOSYS", "EMLINK", "EINVAL"].includes(code))
      throw error;
  }
  // No hard links here (FAT has none): take the free name with an empty file first, then replace that.
  try {
    files.closeSync(files.openSync(path, "wx"));
  } catch (error) {
    throw (error as NodeJS.ErrnoException).code === "EEXIST" ? appeared(path) : error;
  }
  try {
    files.renameSync(partial, path);
  } catch (error) {
    files.unlinkSync(path);
    throw error;
  }
}

function appeared(file: string): Refusal {
  return new Refusal("output/exists", "expected a free name, got a file that came into being meanwhile", { file });
}

/** Makes the new name last too, where the system can do that for a folder. */
function syncFolder(files: FileSystem, folder: string): void {
  try {
    const handle = files.openSync(folder, constants.O_RDONLY);
    try {
      files.fsyncSync(handle);
    } finally {
      files.closeSync(handle);
    }
  } catch {
    // Windows and some network disks have no such thing. The content is on the disk, and complete, either way.
  }
}

function turn(): Promise<void> {
  return new Promise((resolve) => setImmediate(resolve));
}
