import type { Span } from "../bytes/span.js";

/** How a drafted profile writes numbers and spans. */

export function hexAddress(address: number): string {
  return `0x${address.toString(16).toUpperCase().padStart(5, "0")}`;
}

export function writtenSpan({ start, end }: Span): { start: string; end: string } {
  return { start: hexAddress(start), end: hexAddress(end) };
}

/** A text that a profile's reasons hold: cut where it would be too long. */
export function reason(text: string): string {
  return text.length <= 300 ? text : `${text.slice(0, 297)}...`;
}
