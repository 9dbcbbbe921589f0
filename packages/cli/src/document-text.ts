import { Refusal } from "@assay/core";

/** The largest document that somebody wrote: a profile with thousands of releases stays far below. */
export const DOCUMENT_LIMIT: number = 16 * 2 ** 20;

/**
 * The text of the document in `file`.
 * @throws Refusal, naming the file, when it is too large or not UTF-8
 */
export function documentText(file: string, bytes: Uint8Array): string {
  if (bytes.length > DOCUMENT_LIMIT) {
    throw new Refusal("input/too-large", `expected at most ${DOCUMENT_LIMIT} bytes, got ${bytes.length}`, { file });
  }
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    throw new Refusal("input/not-text", "expected text in UTF-8, got other bytes", { file });
  }
}
