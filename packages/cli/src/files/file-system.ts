import type * as fs from "node:fs";

/** The calls to the file system that are made at all; the names and meanings are those of node:fs. */
export type FileSystem = Pick<
  typeof fs,
  | "closeSync"
  | "fchmodSync"
  | "fstatSync"
  | "fsyncSync"
  | "linkSync"
  | "lstatSync"
  | "openSync"
  | "readdirSync"
  | "readlinkSync"
  | "readSync"
  | "realpathSync"
  | "renameSync"
  | "statSync"
  | "symlinkSync"
  | "unlinkSync"
  | "writeSync"
>;
