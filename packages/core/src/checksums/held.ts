import type { HeldSpan } from "../soundness/measure.js";
import { type ChecksumFacts, spansOf, tellingWidth } from "./facts.js";

/** What `checksum` proves to be as it was written. A value of nothing but 00 or FF is what blank memory has too. */
export function heldBy(checksum: ChecksumFacts): readonly HeldSpan[] {
  const { status, width, ordered, stored = "" } = checksum;
  if (status !== "holds" || width < tellingWidth || /^(0+|f+)$/.test(stored)) return [];
  return spansOf(checksum).map((span) => ({ ...span, ordered }));
}
