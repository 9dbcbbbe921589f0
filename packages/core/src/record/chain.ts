import { digestOf } from "../algorithms/digest.js";
import { toHex } from "../bytes/hex.js";
import { toUtf8 } from "../bytes/text.js";
import { canonicalJson } from "./canonical.js";
import type { RecordDocument, RecordEntry } from "./schema.js";

/** Stands before the entry in what its digest is taken over, so that it is the digest of nothing else. */
const prefix = "assay record entry 1\n";

/** The digest of an entry, as lower-case hex: SHA-256 over its canonical form without `digest`. See docs/record.md. */
export function recordEntryDigest(entry: Omit<RecordEntry, "digest"> & { readonly digest?: string }): string {
  const { digest: _own, ...rest } = entry;
  return toHex(digestOf("SHA-256", [toUtf8(prefix), toUtf8(canonicalJson(rest))]));
}

/** The text of a record, as it stands in the file: one entry a line, each in its canonical form. */
export function recordText({ schema, entries, last }: RecordDocument): string {
  const lines = entries.map((entry) => canonicalJson(entry)).join(",\n");
  return `{"schema":${canonicalJson(schema)},"entries":[\n${lines}\n],"last":${canonicalJson(last)}}\n`;
}
