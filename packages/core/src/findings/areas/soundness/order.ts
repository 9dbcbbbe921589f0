import { bytes } from "../../amounts.js";
import type { Entries } from "../../finding.js";
import { also, type Evidence, percent, times, unsafe } from "./evidence.js";
import { pairLine } from "./line-names.js";

/** Whether bits, bytes and blocks stand in the order of the memory. */
export interface OrderFacts {
  "soundness/bytes-swapped": Evidence & { readonly layout: string; readonly family: string };
  "soundness/parts-joined": Evidence & { readonly correction: string; readonly family: string };
  "soundness/bits-rearranged": Evidence & { readonly correction: string; readonly family: string };
  "soundness/data-lines-exchanged": Evidence & {
    readonly bus: number;
    readonly first: number;
    readonly second: number;
  };
  "soundness/address-lines-exchanged": Evidence & { readonly first: number; readonly second: number };
  "soundness/order-doubtful": Evidence & { readonly correction: string; readonly family: string };
  "soundness/blocks-displaced": Evidence & { readonly block: number };
  "soundness/content-breaks-off": Evidence & { readonly block: number };
}

/** What a correction does for the content. */
const gain = (facts: Evidence, family?: string) =>
  facts.proof === "checksums"
    ? `${facts.measured === 1 ? "the checksum that can tell holds" : `all ${facts.measured} checksums that can tell hold`}, as they do not while the read stands as it is`
    : `text and code${family === undefined ? "" : ` (${family})`} become ${times(facts.measured)} as frequent in ${facts.of} pairs of bytes (${times(facts.threshold)} count)`;

const since = "0.1.0";

export const orderEntries: Entries<OrderFacts> = {
  "soundness/bytes-swapped": {
    severity: "stop",
    title: "The bytes of each word stand in another order",
    says: (facts) => `with layout ${facts.layout} ${gain(facts, facts.family)}${also(facts)}`,
    expected: () => "bytes in the order of the memory",
    found: ({ layout }) => `bytes as layout ${layout} has them`,
    why: "Addresses, sums and texts are wrong, and a unit that is written so does not start.",
    next: "Convert the file by the named layout, and go on with the result; a read of part files has them in the wrong order.",
    since,
  },
  "soundness/parts-joined": {
    severity: "stop",
    title: "Two part files were put together the wrong way",
    says: (facts) => `after the step ${facts.correction} ${gain(facts, facts.family)}${also(facts)}`,
    expected: () => "the bytes of both parts in the order of the memory",
    found: ({ correction }) => `an order that ${correction} puts right`,
    why: "The two parts sit beside each other on the bus, not one behind the other, or the other way round.",
    next: "Put the file together again from the reads of the two parts, in the named way.",
    since,
  },
  "soundness/bits-rearranged": {
    severity: "stop",
    title: "The bits of each byte stand in another order",
    says: (facts) => `after the step ${facts.correction} ${gain(facts, facts.family)}${also(facts)}`,
    expected: () => "bits in the order of the memory",
    found: ({ correction }) => `an order that ${correction} puts right`,
    why: unsafe,
    next: "Check the reader's setting and adapter for reversed or inverted data lines, then read again.",
    since,
  },
  "soundness/data-lines-exchanged": {
    severity: "stop",
    title: "Two data lines are exchanged",
    says: (facts) =>
      `with ${pairLine(facts.bus, facts.first)} and ${pairLine(facts.bus, facts.second)} exchanged, ${gain(facts)}${also(facts)}`,
    expected: () => "data lines in their places",
    found: ({ bus, first, second }) => `${pairLine(bus, first)} and ${pairLine(bus, second)} in each other's place`,
    why: unsafe,
    next: "Check the wiring of the two named lines against the part's data sheet, then read again.",
    since,
  },
  "soundness/address-lines-exchanged": {
    severity: "stop",
    title: "Two address lines are exchanged",
    says: (facts) =>
      `with A${facts.first} and A${facts.second} exchanged ${
        facts.proof
          ? gain(facts)
          : `the content goes on from piece to piece (${times(facts.measured)} as well as it stands, ${times(facts.threshold)} count, ${facts.of} places)`
      }${also(facts)}`,
    expected: () => "address lines in their places",
    found: ({ first, second }) => `A${first} and A${second} in each other's place`,
    why: unsafe,
    next: "Check the wiring of the two named lines against the part's data sheet, then read again.",
    since,
  },
  "soundness/order-doubtful": {
    severity: "review",
    title: "Another order of bytes or bits reads a little better",
    says: (facts) =>
      `after the step ${facts.correction} text and code (${facts.family}) become ${times(facts.measured)} as frequent in ${facts.of} pairs of bytes; too few to be sure`,
    expected: () => "content that reads best as it stands",
    found: ({ correction }) => `content that reads better after ${correction}`,
    why: "Of a processor that is not known here, code in the right order may look so too.",
    next: "Look at the texts in the image: words must read from left to right. Compare with a read that is known to be good.",
    since,
  },
  "soundness/blocks-displaced": {
    severity: "stop",
    title: "Blocks stand in the wrong order",
    says: (facts) =>
      `at every border of ${bytes(facts.block)} the content breaks off: only ${percent(facts.measured)} of what stands across ${facts.of} borders occurs elsewhere, against ${percent(facts.threshold)} at which it would count as going on${also(facts)}`,
    expected: () => "content that goes on from block to block",
    found: ({ block }) => `breaks every ${bytes(block)}`,
    why: unsafe,
    next: "Check the upper address lines and the reader's block order, then read again.",
    since,
  },
  "soundness/content-breaks-off": {
    severity: "review",
    title: "The content breaks off at regular borders",
    says: (facts) =>
      `at every border of ${bytes(facts.block)} the content breaks off: only ${percent(facts.measured)} of what stands across ${facts.of} borders occurs elsewhere, against ${percent(facts.threshold)} at which it would count as going on${also(facts)}`,
    expected: () => "content that goes on from block to block",
    found: ({ block }) => `breaks every ${bytes(block)}`,
    why: "Blocks in the wrong order look so, and so do tables whose records have this size.",
    next: "Compare two reads; if they differ, check the upper address lines and the reader's block order.",
    since,
  },
};
