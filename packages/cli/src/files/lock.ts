import { randomBytes } from "node:crypto";
import { constants } from "node:fs";
import { Refusal } from "@assay/core";
import type { World } from "../world.js";
import type { FileSystem } from "./file-system.js";
import { systemRefusal } from "./problem.js";

/** Stands behind the name of a file while somebody changes it. */
export const LOCK_SUFFIX = ".lock";

/** How long a run waits for another one to be done with the file, in milliseconds. */
export const USUAL_PATIENCE = 15_000;

/** Taking over from the dead goes on for so many of them. */
const mostGenerations = 64;

/** Whoever holds a lock: a name that is used once, and the process. */
interface Holder {
  readonly token: string;
  readonly process: number;
  readonly place: string;
}

/** A lock file whose holder is dead. */
interface Grave {
  readonly name: string;
  readonly text: string;
}

/**
 * Has the file at `path` (links resolved) to itself among all runs of this program, waiting for the one that has it; the
 * result gives it up.
 *
 * The lock is a link beside the file that can be made once only and says who made it. A run that was killed leaves it
 * behind. Its lock is not removed, as two who see it so could then both go on: who comes next makes a lock named after
 * the dead one's token, which again only one can, and then looks whether the dead one's still stands. So there is one
 * living holder at most, whenever anybody dies.
 * @throws Refusal when it is held for longer than `patience`, or no lock can be made here
 */
export async function lockFile(world: World, path: string, patience = USUAL_PATIENCE): Promise<() => void> {
  const base = path + LOCK_SUFFIX;
  for (let waited = 0; ; ) {
    const taken = takeLock(world, base);
    if (typeof taken !== "string") return taken;
    if (waited >= patience) {
      throw new Refusal(
        "record/locked",
        `expected to have the file within ${patience / 1000} seconds, got a lock that stays; when no other run is under way, remove ${taken}`,
        { file: path },
      );
    }
    const pause = 5 + Math.random() * 20;
    await world.pause(pause);
    waited += pause;
  }
}

/** What gives up the lock named `base`, which was free or a dead one's; else the name of the lock that is in the way. */
export function takeLock(world: World, base: string): (() => void) | string {
  let names: readonly string[] = [];
  const giveUp = () => {
    for (const name of names) remove(world.files, name);
    forget();
  };
  // Before there is a lock: from its first moment on somebody sees to it.
  const forget = world.onCancel(giveUp);
  try {
    const made = makeLast(world, base);
    if (typeof made !== "string") {
      names = made;
      return giveUp;
    }
    forget();
    return made;
  } catch (error) {
    forget();
    throw error;
  }
}

/** The names that make up the lock that was made, the dead ones' first; else the name of the one that is in the way. */
function makeLast({ files, processes }: World, base: string): readonly string[] | string {
  const { own, place } = processes;
  const token = randomBytes(8).toString("hex");
  const graves: Grave[] = [];
  for (let name = base; graves.length < mostGenerations; ) {
    if (make(files, name, `assay ${token} ${own} ${place}`)) {
      // Whoever had taken over before us, and is done, removed the first lock first.
      if (graves.every((grave) => read(files, grave.name) === grave.text)) {
        return [...graves.map((grave) => grave.name), name];
      }
      remove(files, name);
      return base;
    }
    const text = read(files, name);
    const holder = text === undefined ? undefined : holderOf(text);
    if (text === undefined || !holder || holder.place !== place || processes.isRunning(holder.process)) return name;
    graves.push({ name, text });
    name = `${base}.${holder.token}`;
  }
  return base;
}

function holderOf(text: string): Holder | undefined {
  const [, token, process, place] = /^assay ([0-9a-f]{16}) (\d{1,10}) (\S{1,64})$/.exec(text) ?? [];
  return token && process && place ? { token, process: Number(process), place } : undefined;
}

/** Whether the lock could be made: a symbolic link that leads nowhere is there with all it says, or not at all. */
function make(files: FileSystem, name: string, text: string): boolean {
  try {
    files.symlinkSync(text, name);
    return true;
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === "EEXIST") return false;
    if (!["EPERM", "ENOSYS", "ENOTSUP", "EOPNOTSUPP", "EINVAL", "UNKNOWN"].includes(code ?? ""))
      throw unlockable(name, error);
  }
  return makePlain(files, name, text);
}

/** The same as a plain file, where there are no symbolic links (FAT, Windows without the right to make one). */
function makePlain(files: FileSystem, name: string, text: string): boolean {
  let handle: number;
  try {
    handle = files.openSync(name, "wx");
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "EEXIST") return false;
    throw unlockable(name, error);
  }
  try {
    files.writeSync(handle, text);
    return true;
  } catch (error) {
    remove(files, name);
    throw unlockable(name, error);
  } finally {
    files.closeSync(handle);
  }
}

function unlockable(name: string, error: unknown): Refusal {
  return systemRefusal("record/unwritable", name, "a folder in which the record can be locked", error);
}

/** What a lock says; undefined when it is gone, nothing when it says nothing that can be read. */
function read(files: FileSystem, name: string): string | undefined {
  try {
    return files.readlinkSync(name);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ENOENT") return undefined;
  }
  let handle: number | undefined;
  try {
    handle = files.openSync(name, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0));
    const bytes = new Uint8Array(256);
    return Buffer.from(bytes.subarray(0, files.readSync(handle, bytes, 0, bytes.length, 0))).toString("latin1");
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === "ENOENT" ? undefined : "";
  } finally {
    if (handle !== undefined) files.closeSync(handle);
  }
}

function remove(files: FileSystem, name: string): void {
  try {
    files.unlinkSync(name);
  } catch {
    // It is gone, or will say of itself that its process is dead.
  }
}
