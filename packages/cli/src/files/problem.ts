import type { BigIntStats, Stats } from "node:fs";
import { Refusal, type RefusalCode } from "@assay/core";

const reasons: Readonly<Record<string, string>> = {
  ENOENT: "nothing of that name",
  ENOTDIR: "a path that leads through something that is no folder",
  EACCES: "no permission",
  EPERM: "no permission",
  EISDIR: "a folder",
  ELOOP: "links that lead in a circle",
  ENAMETOOLONG: "a name that is too long",
  ENXIO: "something that cannot be opened",
  ENOSPC: "a full disk",
  EDQUOT: "a used-up quota",
  EROFS: "a disk that is read only",
  EIO: "an error of the device",
  EFBIG: "a file larger than the disk takes",
  EMFILE: "too many open files",
  ENFILE: "too many open files",
  EEXIST: "a file of that name",
  ETXTBSY: "a file that is being run",
  ERR_INVALID_ARG_VALUE: "a name with a NUL character",
};

/** The refusal that says in words what the system said in a code. */
export function systemRefusal(code: RefusalCode, file: string, expected: string, error: unknown): Refusal {
  const { code: name } = error as NodeJS.ErrnoException;
  if (error instanceof Refusal || name === undefined) throw error;
  // A name that is no UTF-8 comes in with this character for what was in it, and names nothing any more.
  const reason = name === "ENOENT" && file.includes("\ufffd") ? "a name that is not UTF-8: rename it" : reasons[name];
  return new Refusal(code, `expected ${expected}, got ${reason ? `${reason} (${name})` : name}`, { file });
}

/** What something is that is no ordinary file. */
export function kindOf(stats: Stats | BigIntStats): string {
  if (stats.isDirectory()) return "a folder";
  if (stats.isFIFO()) return "a named pipe";
  if (stats.isSocket()) return "a socket";
  if (stats.isCharacterDevice() || stats.isBlockDevice()) return "a device";
  return "something else";
}
