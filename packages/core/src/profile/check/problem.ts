import { formatAddress } from "../../bytes/hex.js";
import type { Span } from "../../bytes/span.js";

/** One thing wrong with a profile: the place in the document, what was expected and what came. */
export interface Problem {
  /** `checksums[2].over[0]`; empty for the document itself. */
  readonly path: string;
  readonly message: string;
}

/** A span as a problem shows it. */
export function shown(span: Span): string {
  return `${formatAddress(span.start)}..${formatAddress(span.end)}`;
}
