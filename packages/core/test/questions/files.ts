import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { basename } from "node:path";
import { decode } from "../../src/formats/decode.js";
import { loadProfile } from "../../src/profile/load.js";
import type { Profile } from "../../src/profile/schema/profile.js";
import type { InputFile } from "../../src/questions/input.js";

const vectors = new URL("../../../../test-vectors/", import.meta.url);

/** A profile below test-vectors. */
export function profileAt(path: string): Profile {
  return loadProfile(readFileSync(new URL(path, vectors), "utf8"));
}

/** Bytes as a file that plays `role`. */
export function fileOf(role: string, bytes: Uint8Array, name = role, base = 0): InputFile {
  const looked = decode(bytes);
  const decoded = looked.format === "raw" && base > 0 ? decode(bytes, { base }) : looked;
  return { role, name, bytes: bytes.length, sha256: createHash("sha256").update(bytes).digest("hex"), decoded };
}

/** A file below test-vectors that plays `role`. */
export function fileAt(role: string, path: string, base = 0): InputFile {
  return fileOf(role, new Uint8Array(readFileSync(new URL(path, vectors))), basename(path), base);
}
