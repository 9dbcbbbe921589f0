import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { basename } from "node:path";
import { loadProfile } from "../../src/profile/load.js";
import type { Profile } from "../../src/profile/schema/profile.js";
import { type InputFile, inputOf } from "../../src/questions/input.js";

const vectors = new URL("../../../../test-vectors/", import.meta.url);

/** A profile below test-vectors. */
export function profileAt(path: string): Profile {
  return loadProfile(readFileSync(new URL(path, vectors), "utf8"));
}

/** Bytes as a file that plays `role`. */
export function fileOf(role: string, bytes: Uint8Array, name = role, base = 0): InputFile {
  return inputOf(role, name, bytes, { base }, { digest: (hash) => createHash(hash) });
}

/** A file below test-vectors that plays `role`. */
export function fileAt(role: string, path: string, base = 0): InputFile {
  return fileOf(role, new Uint8Array(readFileSync(new URL(path, vectors))), basename(path), base);
}
