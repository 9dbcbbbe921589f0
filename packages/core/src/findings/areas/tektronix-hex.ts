import { formatAddress } from "../../bytes/hex.js";
import type { Entries } from "../finding.js";
import { type RecordFactsOf, type RecordStart, type Repeated, recordEntriesOf, seen } from "./text-record.js";

/** What is peculiar to Tektronix extended hex (srec_tektronix_extended(5), SRecord 1.64; symbol records from memory). */
interface OwnFacts {
  "tektronix-hex/address-overflow": RecordStart & {
    readonly address: number;
    readonly length: number;
    readonly end: number;
  };
  "tektronix-hex/symbols": Repeated;
  "tektronix-hex/small-digits": Repeated;
}

/** What the reader of Tektronix extended hex can say. */
export interface TektronixFacts extends RecordFactsOf<"tektronix-hex">, OwnFacts {}

const ownEntries: Entries<OwnFacts> = {
  "tektronix-hex/address-overflow": {
    severity: "stop",
    title: "A record lies above the memory that can be described",
    says: ({ line, record, address, length, end }) =>
      `line ${line}: record ${record} holds ${length} bytes from ${formatAddress(address)}; addresses end at ${formatAddress(end - 1)}`,
    expected: ({ end }) => `data up to ${formatAddress(end - 1)}`,
    found: ({ address, length }) => `data up to ${formatAddress(address + Math.max(length, 1) - 1)}`,
    why: "The format can say addresses of 64 bits. Memory above 32 bits is not described here, and the record was left out.",
    next: "Have the file written again with the addresses of the part that was read.",
    since: "0.1.0",
  },
  "tektronix-hex/symbols": {
    severity: "note",
    title: "The file carries names of its program",
    says: (facts) => `records with section and symbol names stand in the file, ${seen(facts)}; they were passed over`,
    why: "They say nothing about the content of the memory. Their checksums hold.",
    next: "Nothing needs to be done.",
    since: "0.1.0",
  },
  "tektronix-hex/small-digits": {
    severity: "note",
    title: "Records are written with small letters",
    says: (facts) =>
      `the checksum of a record holds only when its small letters count as hexadecimal digits, ${seen(facts)}`,
    why: "The format counts a small letter with another value than a capital one. Stricter programs refuse such a record.",
    next: "Nothing, unless a stricter program is to read the file.",
    since: "0.1.0",
  },
};

export const tektronixEntries: Entries<TektronixFacts> = { ...recordEntriesOf("tektronix-hex"), ...ownEntries };
