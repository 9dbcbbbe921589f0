import { bytes, hexByte } from "../../amounts.js";
import type { Entries } from "../../finding.js";
import { also, type Evidence, percent } from "./evidence.js";

/** What address lines without contact, or shorted, and parts smaller than the window leave behind. */
export interface AddressLineFacts {
  "soundness/address-line-dead": Evidence & { readonly lines: readonly number[] };
  "soundness/address-lines-shorted": Evidence & { readonly first: number; readonly second: number };
  "soundness/alternate-blocks-blank": Evidence & {
    readonly line: number;
    readonly level: number;
    readonly value: number;
  };
  "soundness/content-repeats": Evidence & { readonly period: number; readonly bytes: number };
  "soundness/halves-alike": Evidence & { readonly period: number; readonly bytes: number };
  "soundness/records-alike": Evidence & { readonly lines: readonly number[] };
}

const since = "0.1.0";

export const addressLineEntries: Entries<AddressLineFacts> = {
  "soundness/address-line-dead": {
    severity: "stop",
    title: "An address line made no difference",
    says: (facts) =>
      `${percent(facts.measured)} of ${bytes(facts.of)} with content are equal across address line ${facts.lines.map((line) => `A${line}`).join(", ")} (from ${percent(facts.threshold)} on it counts as dead)${also(facts)}`,
    expected: () => "different content on both sides of every address line",
    found: ({ lines }) => `repetition across ${lines.map((line) => `A${line}`).join(", ")}`,
    why: "Half of the content was never read: the other half stands in its place.",
    next: "Clean and check the contact of the named address line (bit of the byte address; on a 16-bit part the pin is one lower), and that it is not shorted with a line above the content, then read again.",
    since,
  },
  "soundness/address-lines-shorted": {
    severity: "stop",
    title: "Two address lines carried the same level",
    says: (facts) =>
      `where A${facts.first} and A${facts.second} differ, ${percent(facts.measured)} of ${bytes(facts.of)} are equal to those with both alike${also(facts)}`,
    expected: () => "address lines that work apart",
    found: ({ first, second }) => `A${first} and A${second} as one`,
    why: "Half of the content was never read.",
    next: "Look for a solder bridge or a bent pin between the two named lines, then read again.",
    since,
  },
  "soundness/alternate-blocks-blank": {
    severity: "stop",
    title: "Every other block reads blank",
    says: (facts) =>
      `where A${facts.line} is ${facts.level} ${percent(facts.measured)} of the bytes are ${hexByte(facts.value)} (${percent(facts.threshold)} count), in blocks of ${bytes(2 ** facts.line)} between content of which ${bytes(facts.of)} were looked at${also(facts)}`,
    expected: () => "content that goes on from block to block",
    found: ({ line, level }) => `nothing where A${line} is ${level}`,
    why: "Half of the content is missing: the line is shorted with one above the content, a part or byte lane does not answer, or an empty part was interleaved with a full one.",
    next: "Check the named address line against those above it, and that every part answers. If the parts follow each other in memory, put them one behind the other.",
    since,
  },
  "soundness/content-repeats": {
    severity: "stop",
    title: "The content comes again to the end of the read",
    says: (facts) =>
      `the content repeats every ${bytes(facts.period)} over ${bytes(facts.bytes)}: ${percent(facts.measured)} of ${bytes(facts.of)} are equal${also(facts)}`,
    expected: ({ period }) => `${bytes(period)}, or other content behind them`,
    found: ({ bytes: size }) => `the same content again up to ${bytes(size)}`,
    why: "The part is smaller than the window that was read, or its upper address lines have no contact: then content is missing.",
    next: "Read the size off the part's own marking. If it is the period, cut the file there; if it is larger, clean the upper address lines and read again.",
    since,
  },
  "soundness/halves-alike": {
    severity: "review",
    title: "Both halves of the read are alike",
    says: (facts) =>
      `the second ${bytes(facts.period)} equal the first: ${percent(facts.measured)} of ${bytes(facts.of)}; a genuine second bank, a part of half the size and a dead top address line look the same${also(facts)}`,
    expected: ({ period }) => `two banks that are known to be copies, or a part of ${bytes(period)}`,
    found: () => "two equal halves",
    why: "If the top address line had no contact, half of the content is missing.",
    next: "Read the size off the part's own marking; check the contact of the top address line. If two banks are meant, a CRC over both that the profile describes settles it.",
    since,
  },
  "soundness/records-alike": {
    severity: "review",
    title: "All content stands twice, record by record",
    says: (facts) =>
      `${percent(facts.measured)} of ${bytes(facts.of)} with content are equal across address line ${facts.lines.map((line) => `A${line}`).join(", ")} (from ${percent(facts.threshold)} on it counts); a small part that keeps each record twice and a dead address line look the same${also(facts)}`,
    expected: () => "records that are known to be kept twice, or different content on both sides of every address line",
    found: ({ lines }) => `repetition across ${lines.map((line) => `A${line}`).join(", ")}`,
    why: "If the address line had no contact, half of the content is missing.",
    next: "Find out whether the unit keeps its records twice, or compare with a good read of another one; check the contact of the named address line.",
    since,
  },
};
