import { bytes, hexByte } from "../../amounts.js";
import type { Entries } from "../../finding.js";
import { also, type Evidence, percent } from "./evidence.js";

/** Whether the file is a read of a memory part at all. */
export interface ReadAtAllFacts {
  "soundness/not-the-bytes": Evidence & { readonly kind: string };
  "soundness/only-text": Evidence;
  "soundness/constant": Evidence & { readonly value: number; readonly erased: number | undefined };
  "soundness/structureless": Evidence & { readonly entropy: number };
  "soundness/size-unusual": Evidence & { readonly odd: boolean };
}

const since = "0.1.0";

export const readAtAllEntries: Entries<ReadAtAllFacts> = {
  "soundness/not-the-bytes": {
    severity: "stop",
    title: "The file holds something else than the bytes of a memory",
    says: ({ kind }) => `the file is ${kind}, not the bytes of a memory`,
    expected: () => "the bytes of a memory",
    found: ({ kind }) => kind,
    why: "Written as it is, a listing or an archive would be put into the unit instead of its software.",
    next: "Unpack or convert the file to its bytes first, then check it again.",
    since,
  },
  "soundness/only-text": {
    severity: "review",
    title: "The file holds nothing but text",
    says: (facts) => `${percent(facts.measured)} of ${bytes(facts.of)} are printable, and none has its highest bit set`,
    expected: () => "code or data of a unit",
    found: () => "text",
    why: "A log, a note or a listing has been taken for the read.",
    next: "Open the file in a text viewer and find the one that holds the read.",
    since,
  },
  "soundness/constant": {
    severity: "stop",
    title: "Every byte of the read is the same",
    says: ({ value, of, erased }) =>
      `all ${bytes(of)} read ${hexByte(value)}${erased === value ? ", which is what erased memory reads as" : ""}`,
    expected: () => "content",
    found: ({ value }) => `${hexByte(value)} throughout`,
    why: "A part without supply, without contact, protected or erased reads so; the content is not here.",
    next: "Check supply, ground and chip select of the part and that the reader is set to it, then read again.",
    since,
  },
  "soundness/structureless": {
    severity: "review",
    title: "The content has no structure",
    says: (facts) =>
      `${percent(facts.measured)} of ${facts.of} pieces of 1024 bytes are spread like random bytes (${percent(facts.threshold)} count), ${facts.entropy.toFixed(2)} bits a byte`,
    expected: () => "code, tables and text",
    found: () => "bytes as of chance",
    why: "Encrypted and compressed content looks so, and so does a read that a protection scrambled.",
    next: "Find out whether the unit protects its memory from being read; compare two reads.",
    since,
  },
  "soundness/size-unusual": {
    severity: "review",
    title: "No memory part has this size",
    says: (facts) => `the read holds ${bytes(facts.measured)}${facts.odd ? ", an odd number" : ""}${also(facts)}`,
    expected: () => "a power of two, or a small multiple of one",
    found: ({ measured }) => bytes(measured),
    why: "A read that was cut, or a file that lost or gained bytes on its way, has such a size.",
    next: "Read the size off the part's own marking and read again over all of it.",
    since,
  },
};
