import { byteText, hexByte } from "../amounts.js";
import type { CatalogueEntry, Entries } from "../finding.js";

/**
 * What can be wrong with a record of a text format, whichever of them it is. The start of a record is told up to its
 * address and no further: its data may be somebody's secret.
 */
export interface RecordFacts {
  "checksum-wrong": RecordStart & { readonly stated: number; readonly computed: number };
  "length-wrong": RecordDigits & { readonly countsWords: boolean };
  "digits-odd": RecordDigits;
  "digit-wrong": RecordStart & { readonly column: number; readonly character: number };
  "type-unknown": RecordStart & { readonly type: string };
  "control-length-wrong": RecordStart & { readonly type: string; readonly expected: number; readonly got: number };
  "mark-missing": RecordStart & { readonly mark: string };
  "record-cut": RecordDigits;
  "missing-end": { readonly line: number; readonly records: string };
  "records-after-end": { readonly line: number; readonly records: number; readonly bytes: number };
  "text-after-end": Repeated;
  "text-outside-records": Repeated;
  "text-after-record": Repeated;
  "records-of-other-format": Repeated;
  "bytes-outside-records": Repeated;
  "records-share-line": Repeated;
  "record-empty": Repeated;
  "start-repeated": Repeated;
  "start-conflict": Repeated & { readonly kept: string; readonly other: string };
}

/** A deviation that was met once or many times: how often, and the first lines. */
export interface Repeated {
  readonly count: number;
  readonly lines: readonly number[];
}

export interface RecordStart {
  readonly line: number;
  /** The record up to its address. */
  readonly record: string;
}

interface RecordDigits extends RecordStart {
  /** Hexadecimal digits after the mark: as many as the length field asks for, and as many as there are. */
  readonly expected: number | undefined;
  readonly got: number;
}

/** The facts of one format: `intel-hex/checksum-wrong` and so on. */
export type RecordFactsOf<Format extends string> = {
  [Code in keyof RecordFacts as `${Format}/${Code}`]: RecordFacts[Code];
};

/** The words of `recordEntries` for one format. */
export function recordEntriesOf<Format extends string>(format: Format): Entries<RecordFactsOf<Format>> {
  const named = Object.entries(recordEntries).map(([code, entry]) => [`${format}/${code}`, entry]);
  return Object.fromEntries(named) as Entries<RecordFactsOf<Format>>;
}

/** "3 times, in lines 4, 8, 11", "in line 4". */
export function seen({ count, lines }: Repeated): string {
  if (count === 1) return `in line ${lines[0]}`;
  return `${count} times, ${count > lines.length ? "first in" : "in"} lines ${lines.join(", ")}`;
}

const digits = ({ expected }: RecordDigits) =>
  expected === undefined ? "a length field and what it asks for" : `${expected} digits after the mark`;
const damaged =
  "The record was left out, and with it what it says about the memory. Damage to one record is seldom alone.";
const again =
  "Fetch the file again from where it was made, in binary mode, or read the unit again; do not repair it by hand.";

const recordEntries: { readonly [Code in keyof RecordFacts]: CatalogueEntry<RecordFacts[Code]> } = {
  "checksum-wrong": {
    severity: "stop",
    title: "A record's checksum is wrong",
    says: ({ line, record, stated, computed }) =>
      `line ${line}: record ${record} states the checksum ${byteText(stated)}; its bytes give ${byteText(computed)}`,
    expected: ({ computed }) => byteText(computed),
    found: ({ stated }) => byteText(stated),
    why: damaged,
    next: again,
    since: "0.1.0",
  },
  "length-wrong": {
    severity: "stop",
    title: "A record is not as long as it says",
    says: ({ line, record, expected, got, countsWords }) =>
      `line ${line}: record ${record} has ${got} digits${expected === undefined ? "" : ` where its length asks for ${expected}`}${
        countsWords ? "; they would be right if the length counted 16-bit words" : ""
      }`,
    expected: digits,
    found: ({ got }) => `${got} digits`,
    why: damaged,
    next: "When every record is so, the file was written with lengths in words: write it again with lengths in bytes. Otherwise fetch the file again in binary mode.",
    since: "0.1.0",
  },
  "digits-odd": {
    severity: "stop",
    title: "A record has an odd number of digits",
    says: ({ line, record, got }) => `line ${line}: record ${record} has ${got} digits; a byte is two`,
    expected: digits,
    found: ({ got }) => `${got} digits`,
    why: damaged,
    next: again,
    since: "0.1.0",
  },
  "digit-wrong": {
    severity: "stop",
    title: "A record holds a character that is no digit",
    says: ({ line, record, column, character }) =>
      `line ${line}, column ${column}: record ${record} has the character ${hexByte(character)} where a hexadecimal digit must be`,
    expected: () => "0 to 9 or A to F",
    found: ({ character }) => `the character ${hexByte(character)}`,
    why: damaged,
    next: again,
    since: "0.1.0",
  },
  "type-unknown": {
    severity: "stop",
    title: "A record is of a type that is not defined",
    says: ({ line, record, type }) =>
      `line ${line}: record ${record} is of type ${type}, which no edition of the format defines`,
    expected: () => "a type that the format defines",
    found: ({ type }) => `type ${type}`,
    why: "What the record says about the memory is unknown, so the image may lack something that was meant.",
    next: "Find out which program wrote the file, and have it write the plain format; otherwise fetch the file again.",
    since: "0.1.0",
  },
  "control-length-wrong": {
    severity: "stop",
    title: "A record that carries no data has the wrong length",
    says: ({ line, record, type, expected, got }) =>
      `line ${line}: record ${record} of type ${type} holds ${got} data bytes; such a record holds ${expected}`,
    expected: ({ expected }) => `${expected} data bytes`,
    found: ({ got }) => `${got}`,
    why: "Such a record places the data that follow, or ends the file; what it was to say is not known.",
    next: again,
    since: "0.1.0",
  },
  "mark-missing": {
    severity: "stop",
    title: "A line looks like a record without its mark",
    says: ({ line, record, mark }) =>
      `line ${line}: ${record} reads like a record, but the mark ${mark} before it is missing or damaged`,
    expected: ({ mark }) => `the mark ${mark} at the start of the record`,
    found: ({ record }) => `a line that holds ${record}`,
    why: "Most programs take such a line for a remark and leave its data out without a word.",
    next: again,
    since: "0.1.0",
  },
  "record-cut": {
    severity: "stop",
    title: "The file ends inside a record",
    says: ({ line, record, expected, got }) =>
      `line ${line}: the file ends after ${got} digits of record ${record}${expected === undefined ? "" : `; it must have ${expected}`}`,
    expected: digits,
    found: ({ got }) => `${got} digits, then the end of the file`,
    why: "The file was cut short: everything that came after is missing.",
    next: "Fetch the file again and compare its size, or read the unit again.",
    since: "0.1.0",
  },
  "missing-end": {
    severity: "review",
    title: "The record that ends the file is missing",
    says: ({ line, records }) => `the file ends after line ${line} without an end record (${records})`,
    expected: ({ records }) => `an end record (${records})`,
    found: () => "none",
    why: "A file that was cut between two lines looks exactly so; what is missing cannot be told from what is there.",
    next: "Compare the highest address with the size of the memory, or fetch the file again.",
    since: "0.1.0",
  },
  "records-after-end": {
    severity: "review",
    title: "Records follow the end record",
    says: ({ line, records, bytes }) =>
      `${records} ${records === 1 ? "record" : "records"} with ${bytes} data bytes follow the end record, first in line ${line}; they are not part of the image`,
    expected: () => "nothing after the end record",
    found: ({ records }) => `${records} ${records === 1 ? "record" : "records"}`,
    why: "A loader stops at the end record, other programs read on: the same file is then two different images.",
    next: "Find out whether two files were joined. Split them, and give each on its own.",
    since: "0.1.0",
  },
  "text-after-end": {
    severity: "note",
    title: "Text follows the end record",
    says: (facts) => `text that is no record follows the end record, ${seen(facts)}`,
    why: "It is not part of the image. Some programs refuse such a file.",
    next: "Nothing, when it is known where the text came from.",
    since: "0.1.0",
  },
  "text-outside-records": {
    severity: "note",
    title: "The file holds text that is no record",
    says: (facts) => `text that is no record stands before or between the records, ${seen(facts)}`,
    why: "It is passed over, as loaders have always done. The standard does not provide for it, and some programs refuse it.",
    next: "Nothing, when it is known where the text came from.",
    since: "0.1.0",
  },
  "text-after-record": {
    severity: "note",
    title: "Text follows a record on its line",
    says: (facts) => `text follows a complete record on the same line, ${seen(facts)}`,
    why: "It is passed over. The standard does not provide for it, and some programs refuse it.",
    next: "Nothing, when it is known where the text came from.",
    since: "0.1.0",
  },
  "records-of-other-format": {
    severity: "review",
    title: "Data records of another format stand in the file",
    says: (facts) =>
      `whole data records of another format, with checksums that hold, stand ${seen(facts)}; they are not part of the image`,
    expected: () => "records of one format",
    found: ({ count }) => (count === 1 ? "1 record of another" : `${count} records of another`),
    why: "Two files were joined, or one was put together by hand: what the other records say about the memory is missing from the image.",
    next: "Find out what the file was joined from. Split it, and give each part on its own.",
    since: "0.1.0",
  },
  "bytes-outside-records": {
    severity: "stop",
    title: "Bytes that are neither records nor text stand between the records",
    says: (facts) => `control characters or other bytes that are no text stand between the records, ${seen(facts)}`,
    expected: () => "records, or text that can be read",
    found: ({ count }) => (count === 1 ? "1 line of other bytes" : `${count} lines of other bytes`),
    why: "Something was written over a part of the file, and the records that stood there are missing from the image.",
    next: again,
    since: "0.1.0",
  },
  "records-share-line": {
    severity: "note",
    title: "Several records stand on one line",
    says: (facts) => `a record follows another one without a line end between them, ${seen(facts)}`,
    why: "Each record is complete and was read. Line ends were lost on the way, and some programs read only the first record of a line.",
    next: "Find out which program or transfer took the line ends out.",
    since: "0.1.0",
  },
  "record-empty": {
    severity: "note",
    title: "A data record holds no data",
    says: (facts) => `a data record of length 0 stands ${seen(facts)}`,
    why: "It says nothing about the memory. Some old programs take it for the end of the file.",
    next: "Nothing, unless the file is to be read by such a program.",
    since: "0.1.0",
  },
  "start-repeated": {
    severity: "note",
    title: "The start address is stated more than once",
    says: (facts) => `a start address that was stated before is stated again, ${seen(facts)}`,
    why: "It is the same address. Files that were joined from parts are so.",
    next: "Nothing, when the file is known to be joined.",
    since: "0.1.0",
  },
  "start-conflict": {
    severity: "review",
    title: "The file states different start addresses",
    says: ({ kept, other, ...facts }) =>
      `the start address is ${kept} and then ${other}, ${seen(facts)}; the first one was kept`,
    expected: ({ kept }) => kept,
    found: ({ other }) => other,
    why: "The start address does not change the content, but two of them mean that the file was joined from two programs.",
    next: "Find out what the file was joined from.",
    since: "0.1.0",
  },
};
