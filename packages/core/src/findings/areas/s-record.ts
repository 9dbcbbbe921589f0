import { formatAddress } from "../../bytes/hex.js";
import type { Entries } from "../finding.js";
import { type RecordFactsOf, type RecordStart, type Repeated, recordEntriesOf, seen } from "./text-record.js";

/** What is peculiar to S-records (M68000 Family Programmer's Reference Manual, Appendix C). */
interface OwnFacts {
  "s-record/lower-case-mark": Repeated;
  "s-record/digits-after-checksum": Repeated;
  "s-record/address-overflow": RecordStart & {
    readonly address: number;
    readonly length: number;
    readonly end: number;
  };
  "s-record/count-mismatch": { readonly line: number; readonly stated: number; readonly counted: number };
  "s-record/count-truncated": { readonly line: number; readonly stated: number; readonly counted: number };
  "s-record/end-left-out": { readonly line: number; readonly counted: number };
  "s-record/end-mismatched": { readonly line: number; readonly end: string; readonly data: string };
  "s-record/widths-mixed": { readonly types: string; readonly line: number };
  "s-record/widths-doubtful": { readonly types: string; readonly line: number };
  "s-record/header-misplaced": Repeated;
}

/** What the reader of S-records can say. */
export interface SRecordFacts extends RecordFactsOf<"s-record">, OwnFacts {}

const ownEntries: Entries<OwnFacts> = {
  "s-record/lower-case-mark": {
    severity: "note",
    title: "Records begin with a small s",
    says: (facts) => `a record begins with s and not with S, ${seen(facts)}`,
    why: "The format is described with a capital S. Some programs refuse the small one.",
    next: "Nothing, unless a stricter program is to read the file.",
    since: "0.1.0",
  },
  "s-record/digits-after-checksum": {
    severity: "review",
    title: "Digits follow a record's checksum",
    says: (facts) => `more digits follow the checksum of a record that is complete without them, ${seen(facts)}`,
    expected: () => "the end of the line after the checksum",
    found: () => "more digits",
    why: "Some loaders pass them over, others refuse the record. Either the record's length or its end is not what was written.",
    next: "Find out which program wrote the file; otherwise fetch it again.",
    since: "0.1.0",
  },
  "s-record/address-overflow": {
    severity: "stop",
    title: "Data run past the addresses that the record can name",
    says: ({ line, record, address, length, end }) =>
      `line ${line}: record ${record} holds ${length} bytes from ${formatAddress(address)}; its addresses end at ${formatAddress(end - 1)}`,
    expected: ({ end }) => `data up to ${formatAddress(end - 1)}`,
    found: ({ address, length }) => `data up to ${formatAddress(address + length - 1)}`,
    why: "The format has no rule for this, and programs do not agree: the record was left out.",
    next: "Have the file written again with wider addresses.",
    since: "0.1.0",
  },
  "s-record/count-mismatch": {
    severity: "stop",
    title: "The file does not hold as many records as it says",
    says: ({ line, stated, counted }) => `line ${line} counts ${stated} data records; the file holds ${counted}`,
    expected: ({ stated }) => `${stated} data records`,
    found: ({ counted }) => `${counted}`,
    why: "Lines were lost or added, or the type of a record was changed, which its checksum does not cover.",
    next: "Fetch the file again from where it was made, or read the unit again.",
    since: "0.1.0",
  },
  "s-record/count-truncated": {
    severity: "note",
    title: "The count of records holds only its low 16 bits",
    says: ({ line, stated, counted }) =>
      `line ${line} counts ${stated} data records; the file holds ${counted}, which ends in the same 16 bits`,
    why: "The short count record has no room for more than 65535. It still shows that no single line is missing.",
    next: "Nothing needs to be done.",
    since: "0.1.0",
  },
  "s-record/end-left-out": {
    severity: "note",
    title: "The file ends with its count of records and without an end record",
    says: ({ line, counted }) =>
      `line ${line} counts ${counted} data records, as many as there are, and no end record (S7, S8 or S9) follows it`,
    why: "Some programs leave the end record out when there is no start address. The count shows that no line is missing.",
    next: "Nothing needs to be done.",
    since: "0.1.0",
  },
  "s-record/end-mismatched": {
    severity: "note",
    title: "The end record does not go with the data records",
    says: ({ line, end, data }) =>
      `line ${line} ends the file with ${end}, although its widest data records are ${data}`,
    why: "S1 goes with S9, S2 with S8, S3 with S7. It does not change the content, and some programs refuse it.",
    next: "Nothing, unless a stricter program is to read the file.",
    since: "0.1.0",
  },
  "s-record/widths-mixed": {
    severity: "note",
    title: "Data records of several address widths",
    says: ({ types, line }) => `the file holds ${types} records, the first change in line ${line}`,
    why: "Programs that use the shortest record for each address write such files. Each record says its own width.",
    next: "Nothing needs to be done.",
    since: "0.1.0",
  },
  "s-record/widths-doubtful": {
    severity: "review",
    title: "The address width changes in a way that nothing explains",
    says: ({ types, line }) =>
      `the file holds ${types} records, first changed in line ${line}, and they do not go from narrow to wide with the end record of the widest`,
    expected: () => "one width, or wider records only after all narrower ones",
    found: ({ types }) => types,
    why: "The type of a record is not covered by its checksum. One damaged digit makes another width of it, and its data lie elsewhere.",
    next: "Look at the lines where the width changes; fetch the file again when they are few.",
    since: "0.1.0",
  },
  "s-record/header-misplaced": {
    severity: "review",
    title: "A header record stands where none belongs",
    says: (facts) =>
      `a header record (S0) follows other records or carries an address, ${seen(facts)}; it was passed over`,
    expected: () => "one header with address 0000, before all data",
    found: ({ count }) => `${count} elsewhere`,
    why: "The type of a record is not covered by its checksum: a data record with one damaged digit looks exactly so. Files that were joined do too.",
    next: "Look at the lines named; when they were data, fetch the file again.",
    since: "0.1.0",
  },
};

export const sRecordEntries: Entries<SRecordFacts> = { ...recordEntriesOf("s-record"), ...ownEntries };
