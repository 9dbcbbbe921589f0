import { latin1 } from "../bytes/text.js";
import { gzipStart, PACKAGE_FILES, packedAs } from "./container.js";
import { startOfText } from "./text.js";
import { zipNames } from "./zip-directory.js";

/** How a flash container of ISO 22901-1 comes: the document itself, or a package of it and the files beside it. */
export type FlashContainerKind = "odx-f" | "pdx";

/** So much of a document is looked at: a declaration and remarks may stand before its root. */
const looked = 8192;

const documentName = /\.odx-f$/i;

/** Whether `bytes` look like a flash container, or a gzip file of a document; undefined when not. What is in it is not read. */
export function flashContainerKind(bytes: Uint8Array): FlashContainerKind | undefined {
  if (packedAs(bytes) === "gzip") return isDocument(gzipStart(bytes)) ? "odx-f" : undefined;
  if (bytes[0] === 0x50 && bytes[1] === 0x4b) {
    return zipNames(bytes, PACKAGE_FILES).some((name) => documentName.test(name)) ? "pdx" : undefined;
  }
  return isDocument(bytes) ? "odx-f" : undefined;
}

function isDocument(bytes: Uint8Array): boolean {
  const start = startOfText(bytes);
  const first = bytes.subarray(start, start + 64).find((byte) => byte > 0x20);
  return first === 0x3c && /<ODX[\s>]/.test(latin1(bytes.subarray(start, start + looked)));
}

/** The names of the flash documents among the files of a package. */
export function flashDocuments(names: readonly string[]): readonly string[] {
  return names.filter((name) => documentName.test(name));
}
