import { basename, dirname, join } from "node:path";
import type { FileSystem } from "./file-system.js";

/** Which file it is, whatever it is called: two names of one file have the same. */
export interface FileIdentity {
  readonly device: bigint;
  readonly inode: bigint;
}

/** A file that was given to this run and must not be written over: what it is, and by which name it was given. */
export interface Protected {
  readonly name: string;
  /** A record is written to by what writes records, and by nothing else. Everything else that is given is an input. */
  readonly kind: "input" | "record";
  /** Undefined while there is no file of that name yet. */
  readonly identity: FileIdentity | undefined;
  /** Its path with every link resolved, folded so that names that differ in case only are equal. */
  readonly place: string | undefined;
}

/** Whether both are one file. */
export function sameFile(a: FileIdentity | undefined, b: FileIdentity): boolean {
  return a?.device === b.device && a.inode === b.inode;
}

/**
 * The path without links and folded to one case, for a file that need not exist. On a disk that tells a.bin from A.BIN
 * they are two files; on the stick that they are copied to next they are one.
 */
export function foldedPlace(files: FileSystem, path: string): string | undefined {
  const fold = (text: string) => text.normalize("NFC").toLowerCase();
  try {
    return fold(files.realpathSync.native(path));
  } catch {
    try {
      return fold(join(files.realpathSync.native(dirname(path)), basename(path)));
    } catch {
      return undefined;
    }
  }
}
