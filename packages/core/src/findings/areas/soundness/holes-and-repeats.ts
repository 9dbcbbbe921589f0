import { formatAddress } from "../../../bytes/hex.js";
import { bytes, hexByte } from "../../amounts.js";
import type { Entries } from "../../finding.js";
import { also, type Evidence } from "./evidence.js";

/** Blocks that are missing, and blocks that stand twice. */
export interface PlaceFacts {
  "soundness/block-repeated": Evidence & { readonly length: number; readonly first: number; readonly count: number };
  "soundness/hole-in-content": Evidence & {
    readonly value: number;
    readonly first: number;
    readonly count: number;
    /** The address line at one level of which nothing but these holes stands. */
    readonly line?: number | undefined;
  };
  "soundness/hole-under-failing-checksum": Evidence & {
    readonly value: number;
    readonly first: number;
    readonly count: number;
    readonly line?: number | undefined;
  };
}

const readAgain = "Clean the contacts, seat the part or clip again, and read at least twice until two reads agree.";

const since = "0.1.0";

export const placeEntries: Entries<PlaceFacts> = {
  "soundness/block-repeated": {
    severity: "review",
    title: "A block stands twice in a row",
    says: (facts) =>
      `${bytes(facts.length)} from ${formatAddress(facts.first)} on stand again right behind themselves${facts.count > 1 ? `, and ${facts.count - 1} more blocks do` : ""}${also(facts)}`,
    expected: () => "no block of content twice in a row",
    found: ({ count }) => (count === 1 ? "one block" : `${count} blocks`),
    why: "A reader that ran into a time-out may have put down the block before once more; the right one is then missing.",
    next: "Read again and compare: if the block stays, it is meant.",
    since,
  },
  "soundness/hole-in-content": {
    severity: "review",
    title: "A block of fill stands in dense content",
    says: (facts) =>
      `${bytes(facts.measured)} of ${hexByte(facts.value)} from ${formatAddress(facts.first)} on begin and end on block borders with content on both sides${facts.count > 1 ? `, and ${facts.count - 1} more do` : ""}${
        facts.line === undefined
          ? ""
          : `; no content stands at this level of A${facts.line}, as when it is shorted with a line above the content`
      }${also(facts)}`,
    expected: () => "content, or a gap that does not end on block borders",
    found: ({ value, count }) => `${count === 1 ? "one block" : `${count} blocks`} of ${hexByte(value)}`,
    why: "A block that was never transferred looks so; so does a sector that was never used.",
    next: "Read again and compare; a checksum over the place decides it.",
    since,
  },
  "soundness/hole-under-failing-checksum": {
    severity: "stop",
    title: "A block of fill stands where a checksum fails",
    says: (facts) =>
      `${bytes(facts.measured)} of ${hexByte(facts.value)} from ${formatAddress(facts.first)} on begin and end on block borders, and a checksum over them does not hold${also(facts)}`,
    expected: () => "content under a checksum that holds",
    found: ({ value }) => `a block of ${hexByte(value)}`,
    why: "The block was not read: its content is missing.",
    next: readAgain,
    since,
  },
};
