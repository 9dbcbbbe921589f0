import { formatAddress } from "../../bytes/hex.js";
import { byteText } from "../amounts.js";
import type { Entries } from "../finding.js";
import { type DfuFacts, dfuEntries } from "./dfu.js";
import { type ElfFacts, elfEntries } from "./elf.js";
import { type IntelHexFacts, intelHexEntries } from "./intel-hex.js";
import { type SRecordFacts, sRecordEntries } from "./s-record.js";
import { type TektronixFacts, tektronixEntries } from "./tektronix-hex.js";
import { type Repeated, seen } from "./text-record.js";
import { type TiTxtFacts, tiTxtEntries } from "./ti-txt.js";
import { type Uf2Facts, uf2Entries } from "./uf2.js";

/** What can be seen in a file of any format. */
interface FileFacts {
  "file/empty": { readonly format: string };
  "file/no-data": { readonly format: string };
  "file/byte-order-mark": Record<never, never>;
  "file/zero-padding": Repeated;
  "file/line-too-long": { readonly line: number; readonly length: number; readonly limit: number };
  "file/overlap-equal": OverlapFacts & { readonly count: number; readonly bytes: number };
  "file/overlap-conflict": OverlapFacts & {
    readonly differing: number;
    readonly at: number;
    readonly kept: number;
    readonly dropped: number;
  };
  "file/too-scattered": { readonly kept: number; readonly runs: number; readonly bytes: number };
  "file/further-damage": { readonly count: number; readonly lastLine: number };
  "file/archive-checksum-wrong": { readonly packed: string; readonly stated: number; readonly computed: number };
}

interface OverlapFacts {
  readonly address: number;
  readonly length: number;
  readonly firstLine: number;
  readonly secondLine: number;
}

/** What decoders see in a file: how it is written, never what it means. */
export interface FormatFacts
  extends FileFacts,
    IntelHexFacts,
    SRecordFacts,
    TiTxtFacts,
    TektronixFacts,
    ElfFacts,
    Uf2Facts,
    DfuFacts {}

const bytesFrom = ({ address, length }: Pick<OverlapFacts, "address" | "length">) =>
  `${length} ${length === 1 ? "byte" : "bytes"} from ${formatAddress(address)}`;

/** What gives bytes: a record in a line, or in a file without lines (0) one of its blocks. */
const givenIn = (line: number, other?: string) =>
  line === 0 ? (other ?? "one block of the file") : other ? `that of line ${line}` : `the record of line ${line}`;

const fileEntries: Entries<FileFacts> = {
  "file/empty": {
    severity: "stop",
    title: "The file holds no data",
    says: ({ format }) => `the file was read as ${format} and holds no byte of memory`,
    expected: () => "at least one byte of memory",
    found: () => "none",
    why: "An empty read proves nothing about a unit, and writing it would leave the unit without software.",
    next: "Read the unit again and check the size of the file before it is moved anywhere.",
    since: "0.1.0",
  },
  "file/no-data": {
    severity: "review",
    title: "The file is whole and describes no memory",
    says: ({ format }) => `the file is well-formed ${format} with an end record and no byte of memory`,
    expected: () => "at least one byte of memory",
    found: () => "none",
    why: "Nothing was damaged, but nothing was read either: an empty file answers no question about a unit.",
    next: "Look at the settings of the program that wrote the file, and read the unit again.",
    since: "0.1.0",
  },
  "file/byte-order-mark": {
    severity: "note",
    title: "The file begins with a byte order mark",
    says: () => "three bytes (EF BB BF) that mark UTF-8 text stand before the first record",
    why: "The file went through a text editor. Stricter programs refuse it.",
    next: "Find out what the editor changed besides.",
    since: "0.1.0",
  },
  "file/zero-padding": {
    severity: "note",
    title: "Zero bytes stand around the records",
    says: (facts) => `zero bytes stand before, between or after the records, ${seen(facts)}`,
    why: "Transfers that work in blocks pad the last one, and paper tape had leaders of them. They are no part of the image.",
    next: "Nothing needs to be done.",
    since: "0.1.0",
  },
  "file/line-too-long": {
    severity: "stop",
    title: "A line is too long to be a record",
    says: ({ line, length, limit }) =>
      `line ${line} goes on for ${length} characters that are no record; the longest record has 521, and lines up to ${limit} are looked at`,
    expected: ({ limit }) => `a line of at most ${limit} characters`,
    found: ({ length }) => `${length} characters`,
    why: "The file, or this part of it, is not what its beginning says: something else was written over it or appended.",
    next: "Look at the file at the place named, and fetch it again from where it was made.",
    since: "0.1.0",
  },
  "file/overlap-equal": {
    severity: "note",
    title: "The same bytes are given twice",
    says: ({ count, bytes, firstLine, secondLine, ...facts }) =>
      `${bytesFrom(facts)}: given in ${givenIn(firstLine)} and again in ${givenIn(secondLine, "a later one")}, with the same values${
        count > 1 ? `; there are ${count} such places with ${bytes} bytes together` : ""
      }`,
    why: "Both say the same, so the image is not in doubt. Files that were joined from parts are so.",
    next: "Nothing, when the file is known to be joined.",
    since: "0.1.0",
  },
  "file/overlap-conflict": {
    severity: "stop",
    title: "Two records give different bytes for one address",
    says: ({ differing, at, kept, dropped, firstLine, secondLine, ...facts }) =>
      `${bytesFrom(facts)}: given twice, differing in ${differing}, first at ${formatAddress(at)} with ${byteText(kept)} in ${givenIn(firstLine)}, ${byteText(dropped)} in ${givenIn(secondLine, "a later one")}; the first was kept`,
    expected: ({ kept }) => `${byteText(kept)}, as in the first record`,
    found: ({ dropped }) => byteText(dropped),
    why: "Which of the two is in the unit cannot be told from the file, and programs do not agree on which one they take.",
    next: "Find out what the file was joined from, or read the unit again.",
    since: "0.1.0",
  },
  "file/too-scattered": {
    severity: "stop",
    title: "The file describes too many separate pieces of memory",
    says: ({ kept, runs, bytes }) =>
      `the file describes ${kept + runs} separate runs of addresses; the lowest ${kept} were kept and ${bytes} bytes left out`,
    expected: ({ kept }) => `at most ${kept} separate runs`,
    found: ({ kept, runs }) => String(kept + runs),
    why: "No read of a unit is torn like that. The file is damaged, or was made to exhaust whoever opens it.",
    next: "Do not use the file. Fetch it again from where it was made.",
    since: "0.1.0",
  },
  "file/further-damage": {
    severity: "stop",
    title: "More of the same was found than is listed",
    says: ({ count, lastLine }) =>
      `${count} more places of damage were found${lastLine === 0 ? "" : `, the last in line ${lastLine}`}`,
    expected: () => "none",
    found: ({ count }) => String(count),
    why: "So many at once come from a transfer that changed the whole file, or from a file of another kind.",
    next: "Look at the first ones; fetch the file again in binary mode before anything else.",
    since: "0.1.0",
  },
  "file/archive-checksum-wrong": {
    severity: "stop",
    title: "The packed file is damaged",
    says: ({ packed, stated, computed }) =>
      `the ${packed} file states the CRC-32 ${crcText(stated)} for its content; what came out of it has ${crcText(computed)}`,
    expected: ({ stated }) => crcText(stated),
    found: ({ computed }) => crcText(computed),
    why: "The content came out in full length, but not as it was put in. Any byte of it may be wrong.",
    next: "Fetch the packed file again from where it was made.",
    since: "0.1.0",
  },
};

const crcText = (value: number) => value.toString(16).padStart(8, "0");

export const formatEntries: Entries<FormatFacts> = {
  ...fileEntries,
  ...intelHexEntries,
  ...sRecordEntries,
  ...tiTxtEntries,
  ...tektronixEntries,
  ...elfEntries,
  ...uf2Entries,
  ...dfuEntries,
};
