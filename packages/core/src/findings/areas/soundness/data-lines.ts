import { bytes } from "../../amounts.js";
import type { Entries } from "../../finding.js";
import { also, type Evidence, percent, unsafe } from "./evidence.js";
import { dataLine, pairLine } from "./line-names.js";

/** What data lines without contact, or shorted, leave behind. */
export interface DataLineFacts {
  "soundness/data-line-stuck": Evidence & {
    readonly bus: number;
    readonly lane: number;
    readonly bit: number;
    readonly level: number;
    readonly distinct: number;
  };
  "soundness/data-lines-shorted": Evidence & { readonly bus: number; readonly first: number; readonly second: number };
  "soundness/high-bit-clear": Evidence;
  "soundness/data-line-doubtful": Evidence & {
    readonly bus: number;
    readonly lane: number;
    readonly bit: number;
    readonly level: number;
    readonly distinct: number;
  };
  "soundness/data-lines-doubtful": Evidence & {
    readonly bus: number;
    readonly first: number;
    readonly second: number;
  };
}

const since = "0.1.0";

export const dataLineEntries: Entries<DataLineFacts> = {
  "soundness/data-line-stuck": {
    severity: "stop",
    title: "A data line stood still",
    says: (facts) =>
      `${dataLine(facts.bus, facts.lane, facts.bit)} reads ${facts.level} in all but ${facts.measured} of ${bytes(facts.of)}, while its other bits take ${facts.distinct} values (${facts.threshold} are enough)${also(facts)}`,
    expected: () => "both levels on every data line",
    found: ({ level }) => `always ${level}`,
    why: unsafe,
    next: "Clean and check the contact of the named data line, then read again.",
    since,
  },
  "soundness/data-lines-shorted": {
    severity: "stop",
    title: "Two data lines carried the same level",
    says: (facts) =>
      `${pairLine(facts.bus, facts.first)} and ${pairLine(facts.bus, facts.second)} are equal in all of ${bytes(facts.of)}${also(facts)}`,
    expected: () => "data lines that work apart",
    found: ({ bus, first, second }) => `${pairLine(bus, first)} and ${pairLine(bus, second)} as one`,
    why: unsafe,
    next: "Look for a solder bridge or a bent pin between the two named lines, then read again.",
    since,
  },
  "soundness/high-bit-clear": {
    severity: "stop",
    title: "Bit 7 of every byte is 0",
    says: (facts) =>
      `none of ${bytes(facts.of)} has its highest bit set, and only ${percent(facts.measured)} of them are text${also(facts)}`,
    expected: () => "bytes from 0x80 on in code and data",
    found: () => "none",
    why: "The file went through a channel of seven bits, or data line D7 had no contact: a bit of every byte is lost.",
    next: "Check the contact of data line D7 and read again; move files only in binary mode or inside an archive.",
    since,
  },
  "soundness/data-line-doubtful": {
    severity: "review",
    title: "A data line may have stood still",
    says: (facts) =>
      `${dataLine(facts.bus, facts.lane, facts.bit)} reads ${facts.level} in all but ${facts.measured} of ${bytes(facts.of)}; numbers below a limit and even numbers look so too, and no code or text is there to decide${also(facts)}`,
    expected: () => "both levels on every data line, or numbers that are known to leave it alone",
    found: ({ level }) => `always ${level}`,
    why: "If the line had no contact, a bit of every word is lost.",
    next: "Compare with a good read of another unit, or check the contact of the named data line and read again.",
    since,
  },
  "soundness/data-lines-doubtful": {
    severity: "review",
    title: "Two data lines may have carried the same level",
    says: (facts) =>
      `${pairLine(facts.bus, facts.first)} and ${pairLine(facts.bus, facts.second)} are equal in all of ${bytes(facts.of)}; the upper bits of small numbers, and bits that seldom move, are so too${also(facts)}`,
    expected: () => "data lines that work apart, or numbers that are known to be small",
    found: ({ bus, first, second }) => `${pairLine(bus, first)} and ${pairLine(bus, second)} as one`,
    why: "If the two lines touched, a bit of every word is lost.",
    next: "Compare with a good read of another unit, or look for a bridge between the two named lines and read again.",
    since,
  },
};
