import { formatAddress } from "../../bytes/hex.js";
import type { Entries } from "../finding.js";
import { type RecordFactsOf, type Repeated, recordEntriesOf, seen } from "./text-record.js";

/** What is peculiar to Intel HEX (Intel, Hexadecimal Object File Format Specification, Revision A, 1988). */
interface OwnFacts {
  "intel-hex/address-field-used": Repeated;
  "intel-hex/end-address": Repeated & { readonly address: number };
  "intel-hex/segment-wrap": Repeated & { readonly address: number };
  "intel-hex/memory-wrap": Repeated;
  "intel-hex/past-64k": Repeated & { readonly address: number };
  "intel-hex/bases-mixed": Repeated & { readonly linear: number; readonly segment: number };
  "intel-hex/base-lost": {
    readonly line: number;
    readonly records: number;
    readonly bytes: number;
    readonly lastLine: number;
  };
}

/** What the reader of Intel HEX can say. */
export interface IntelHexFacts extends RecordFactsOf<"intel-hex">, OwnFacts {}

const differently =
  "Programs do not agree on this case: another one will have read, or written to the unit, another image from the same file.";

const ownEntries: Entries<OwnFacts> = {
  "intel-hex/address-field-used": {
    severity: "note",
    title: "A record that has no address carries one",
    says: (facts) => `the address field of a base or start record is not 0000, ${seen(facts)}`,
    why: "The specification has it coded 0000 and it means nothing; it was passed over.",
    next: "Nothing, unless a stricter program is to read the file.",
    since: "0.1.0",
  },
  "intel-hex/end-address": {
    severity: "note",
    title: "The end record carries a start address",
    says: ({ address, ...facts }) => `the end record ${seen(facts)} carries the address ${formatAddress(address)}`,
    why: "Old programs for 8-bit processors state the start address there. It does not change the content.",
    next: "Nothing needs to be done.",
    since: "0.1.0",
  },
  "intel-hex/segment-wrap": {
    severity: "note",
    title: "Data run over the end of a segment",
    says: ({ address, ...facts }) =>
      `data run over the end of the 64 KiB segment at ${formatAddress(address)}, ${seen(facts)}; as the specification says, they go on at its start`,
    why: "Not every program follows the specification here: some go on above the segment, and then hold another image.",
    next: "When the file goes through another program, compare what that one made of it.",
    since: "0.1.0",
  },
  "intel-hex/memory-wrap": {
    severity: "review",
    title: "Data run over the end of the address space",
    says: (facts) => `data run over 0xFFFFFFFF, ${seen(facts)}; as the specification says, they go on at 0x00000000`,
    expected: () => "data that end at 0xFFFFFFFF or before",
    found: () => "data that go on",
    why: differently,
    next: "Look at the records named: the base address before them is probably wrong.",
    since: "0.1.0",
  },
  "intel-hex/past-64k": {
    severity: "review",
    title: "Data run past 64 KiB and no base address was given",
    says: ({ address, ...facts }) =>
      `data run past 0x0000FFFF, first at ${formatAddress(address)}, ${seen(facts)}, in a file without base addresses; they were taken to go on at 0x00010000`,
    expected: () => "a base address record before data above 0x0000FFFF",
    found: () => "none",
    why: differently,
    next: "Find out how large the memory is: in one of 64 KiB these bytes belong at its start.",
    since: "0.1.0",
  },
  "intel-hex/bases-mixed": {
    severity: "review",
    title: "Segment and linear base addresses are mixed",
    says: ({ linear, segment, ...facts }) =>
      `a segment base (${formatAddress(segment)}) and a linear base (${formatAddress(linear)}) are in force together, ${seen(facts)}; the later one was taken and the earlier one dropped`,
    expected: () => "one kind of base address",
    found: () => "both",
    why: differently,
    next: "Have the file written again with one kind of base address, and compare.",
    since: "0.1.0",
  },
  "intel-hex/base-lost": {
    severity: "stop",
    title: "Data whose base address is not known were left out",
    says: ({ line, records, bytes, lastLine }) =>
      `the record in line ${line} is damaged and may have been a base address; ${records} good ${
        records === 1 ? "record" : "records"
      } after it (${bytes} data bytes, up to line ${lastLine}) could not be placed and were left out`,
    expected: () => "a whole base address record",
    found: ({ records }) => `${records} ${records === 1 ? "record" : "records"} that nothing places`,
    why: "Placed by the base before it they would lie somewhere else in the memory, and over what belongs there.",
    next: "Fetch the file again from where it was made, or read the unit again.",
    since: "0.1.0",
  },
};

export const intelHexEntries: Entries<IntelHexFacts> = { ...recordEntriesOf("intel-hex"), ...ownEntries };
