import { formatAddress } from "../../bytes/hex.js";
import type { Entries } from "../finding.js";

/** What can be seen in the data of a flash container (ISO 22901-1). */
export interface ContainerFacts {
  "container/data-absent": { readonly block: string; readonly file: string | undefined; readonly late: boolean };
  "container/data-encoded": { readonly block: string };
  "container/data-digits": { readonly block: string };
  "container/data-format-unknown": { readonly block: string; readonly format: string };
  "container/data-repeated": { readonly block: string; readonly total: number; readonly data: number };
  "container/data-length": { readonly block: string; readonly expected: number; readonly got: number };
  "container/data-outside-segments": BlockBytes;
  "container/segment-incomplete": BlockBytes;
  "container/data-outside-memory": BlockBytes;
  "container/loader-left-out": BlockBytes;
  "container/element-unknown": {
    readonly name: string;
    readonly inside: string;
    readonly line: number;
    readonly count: number;
  };
  "container/address-overflow": { readonly block: string; readonly address: number; readonly offset: number };
}

interface BlockBytes {
  readonly block: string;
  readonly bytes: number;
  readonly first: number;
}

const lacking = "The image lacks this block. What would be written of it is not known here.";

export const containerEntries: Entries<ContainerFacts> = {
  "container/data-absent": {
    severity: "stop",
    title: "The data of a block are not there",
    says: ({ block, file, late }) =>
      file === undefined
        ? `block ${block} names no data`
        : `block ${block}: the file ${file} is not beside the container${late ? "; it may come later than the container" : ""}`,
    expected: ({ file }) => (file === undefined ? "data" : `the file ${file}`),
    found: () => "none",
    why: lacking,
    next: "Put the file beside the container, or take the whole package.",
    since: "0.1.0",
  },
  "container/data-encoded": {
    severity: "stop",
    title: "The data of a block are encrypted or compressed",
    says: ({ block }) => `block ${block} is encrypted or compressed by a method of its maker; it was left out`,
    expected: () => "data as they are written",
    found: () => "encoded data",
    why: lacking,
    next: "Read a unit that carries the software, and use that read.",
    since: "0.1.0",
  },
  "container/data-digits": {
    severity: "stop",
    title: "The data of a block are not hexadecimal digits",
    says: ({ block }) =>
      `block ${block}: binary data inside a document are pairs of hexadecimal digits, and these are not`,
    expected: () => "pairs of hexadecimal digits",
    found: () => "other characters",
    why: lacking,
    next: "Fetch the container again from where it was made.",
    since: "0.1.0",
  },
  "container/data-format-unknown": {
    severity: "stop",
    title: "The data of a block are in a format that is not read",
    says: ({ block, format }) => `block ${block} is in the format ${format}; it was left out`,
    expected: () => "INTEL-HEX, MOTOROLA-S or BINARY",
    found: ({ format }) => format,
    why: lacking,
    next: "Have the container written with one of the formats that are read.",
    since: "0.1.0",
  },
  "container/data-repeated": {
    severity: "stop",
    title: "Blocks use the same data again and again",
    says: ({ block, total, data }) =>
      `with block ${block} the blocks come to ${total} bytes, and the container holds ${data}; reading ended there`,
    expected: ({ data }) => `at most ${2 * data} bytes`,
    found: ({ total }) => `${total}`,
    why: "No container is made like that. It is damaged, or was made to exhaust whoever opens it.",
    next: "Do not use the container. Fetch it again from where it was made.",
    since: "0.1.0",
  },
  "container/data-length": {
    severity: "stop",
    title: "A block does not hold as many bytes as its segments",
    says: ({ block, expected, got }) => `block ${block}: the segments are ${expected} bytes, the data ${got}`,
    expected: ({ expected }) => `${expected} bytes`,
    found: ({ got }) => `${got}`,
    why: "The data have no addresses of their own: when their number is not right, where they belong is in doubt.",
    next: "Fetch the container and the files beside it again.",
    since: "0.1.0",
  },
  "container/data-outside-segments": {
    severity: "review",
    title: "A block holds data outside its segments",
    says: ({ block, bytes, first }) =>
      `block ${block}: ${bytes} bytes, the first at ${formatAddress(first)}, lie in no segment and were left out`,
    expected: () => "data inside the segments",
    found: ({ bytes }) => `${bytes} bytes outside`,
    why: "A tester writes the segments only. Either these bytes are needless, or a segment is wrong.",
    next: "Compare the segments with the data.",
    since: "0.1.0",
  },
  "container/segment-incomplete": {
    severity: "review",
    title: "A segment is not filled by its data",
    says: ({ block, bytes, first }) =>
      `block ${block}: ${bytes} bytes of its segments, the first at ${formatAddress(first)}, are not in the data`,
    expected: () => "data for every byte of a segment",
    found: ({ bytes }) => `${bytes} bytes fewer`,
    why: "What a tester writes there depends on the tester.",
    next: "Find out what the unit's memory holds there.",
    since: "0.1.0",
  },
  "container/data-outside-memory": {
    severity: "review",
    title: "A block lies outside the memory that the container describes",
    says: ({ block, bytes, first }) =>
      `block ${block}: ${bytes} bytes, the first at ${formatAddress(first)}, lie in no physical segment and were left out`,
    expected: () => "data inside the physical segments",
    found: ({ bytes }) => `${bytes} bytes outside`,
    why: "Either a tester puts them into the working memory, or the description of the memory is not whole.",
    next: "Find out what the block is for.",
    since: "0.1.0",
  },
  "container/loader-left-out": {
    severity: "note",
    title: "A block goes into the working memory",
    says: ({ block, bytes, first }) =>
      `block ${block} calls itself a loader, and its ${bytes} bytes, the first at ${formatAddress(first)}, lie in no physical segment: they are no part of the image`,
    why: "A tester runs such a block to write the others. Nothing of it stays in the unit.",
    next: "Nothing needs to be done.",
    since: "0.1.0",
  },
  "container/element-unknown": {
    severity: "review",
    title: "The container holds elements that are not known",
    says: ({ name, inside, line, count }) =>
      `${count === 1 ? "1 element" : `${count} elements`} of the document, the first ${name} in ${inside} (line ${line}), are not known where they stand; what they say was passed over`,
    expected: () => "the elements of ISO 22901-1, MODEL-VERSION 2.2.0",
    found: ({ name }) => name,
    why: "A block, a checksum or a condition may hide behind a name that one changed bit made unknown.",
    next: "Look at that line. Fetch the container again when the name is misspelt.",
    since: "0.1.0",
  },
  "container/address-overflow": {
    severity: "stop",
    title: "A block is moved out of the memory",
    says: ({ block, address, offset }) =>
      `block ${block}: data at ${formatAddress(address)} moved by ${offset} do not lie between 0 and 0xFFFFFFFF; they were left out`,
    expected: () => "addresses from 0 to 0xFFFFFFFF",
    found: ({ address, offset }) => String(address + offset),
    why: "There is no memory there.",
    next: "Fetch the container again from where it was made.",
    since: "0.1.0",
  },
};
