import type { Entries } from "../finding.js";

/** What the reader of ELF files can say (System V ABI; the machine numbers are listed where they are read). */
export interface ElfFacts {
  "elf/program": {
    readonly width: number;
    readonly order: string;
    readonly machine: string;
    readonly segments: number;
  };
  "elf/header-damaged": { readonly field: string; readonly expected: string; readonly got: string };
  "elf/segment-cut": SegmentPlace & { readonly size: number };
  "elf/address-too-high": SegmentPlace & { readonly address: string };
  "elf/content-repeated": { readonly segment: number; readonly total: number; readonly size: number };
  "elf/segments-absent": { readonly entries: number };
  "elf/physical-addresses-absent": { readonly segments: number };
  "elf/header-left-out": { readonly length: number };
}

interface SegmentPlace {
  /** Index in the table of program headers, from 0. */
  readonly segment: number;
  readonly offset: number;
  readonly length: number;
}

const again = "Fetch the file again from where it was made.";

export const elfEntries: Entries<ElfFacts> = {
  "elf/program": {
    severity: "note",
    title: "The file is a linked program",
    says: ({ width, order, machine, segments }) =>
      `an ELF file of ${width} bits, ${order}-endian, for ${machine}; ${segments} loadable ${
        segments === 1 ? "segment was" : "segments were"
      } read by their physical addresses`,
    why: "What a linker made is what was meant for the memory, not what is in a unit.",
    next: "Nothing, when a program was to be read and not a unit.",
    since: "0.1.0",
  },
  "elf/header-damaged": {
    severity: "stop",
    title: "The header of the ELF file is damaged",
    says: ({ field, expected, got }) => `${field}: the file states ${got} where ${expected} must be`,
    expected: ({ expected }) => expected,
    found: ({ got }) => got,
    why: "Where the content of the memory stands in the file is not known.",
    next: again,
    since: "0.1.0",
  },
  "elf/segment-cut": {
    severity: "stop",
    title: "A segment reaches past the end of the file",
    says: ({ segment, offset, length, size }) =>
      `segment ${segment} is said to be ${length} bytes from offset ${offset}; the file has ${size}`,
    expected: ({ offset, length }) => `a file of at least ${offset + length} bytes`,
    found: ({ size }) => `${size}`,
    why: "The file was cut short, or its header is damaged. Only what is there was read.",
    next: again,
    since: "0.1.0",
  },
  "elf/address-too-high": {
    severity: "stop",
    title: "A segment lies above the memory that can be described",
    says: ({ segment, length, address }) =>
      `segment ${segment} puts ${length} bytes at ${address}; addresses end at 0xFFFFFFFF, and it was left out`,
    expected: () => "addresses up to 0xFFFFFFFF",
    found: ({ address }) => address,
    why: "Memory above 32 bits is not described here: the image would lack a part without a word.",
    next: "Have the program written for the addresses of the part, or as a raw file.",
    since: "0.1.0",
  },
  "elf/content-repeated": {
    severity: "stop",
    title: "The segments hold more than the file",
    says: ({ segment, total, size }) =>
      `with segment ${segment} the segments come to ${total} bytes; the file has ${size}, so many of them use the same bytes; reading ended there`,
    expected: ({ size }) => `at most ${2 * size} bytes`,
    found: ({ total }) => `${total}`,
    why: "No linker writes such a file. Its header is damaged, or it was made to exhaust whoever opens it.",
    next: "Do not use the file. Fetch it again from where it was made.",
    since: "0.1.0",
  },
  "elf/segments-absent": {
    severity: "stop",
    title: "The ELF file holds nothing to load",
    says: ({ entries }) => `none of ${entries} program headers describes content for the memory`,
    expected: () => "at least one loadable segment with content",
    found: () => "none",
    why: "An object file that was not linked yet has no addresses, so there is no image in it.",
    next: "Take the linked program.",
    since: "0.1.0",
  },
  "elf/physical-addresses-absent": {
    severity: "note",
    title: "The ELF file states no physical addresses",
    says: ({ segments }) =>
      `the physical addresses of all ${segments} loadable segments are 0; their virtual addresses were taken`,
    why: "Some linkers leave the physical addresses out; general tools read such a file in the same way.",
    next: "Look whether the addresses are those of the memory.",
    since: "0.1.0",
  },
  "elf/header-left-out": {
    severity: "note",
    title: "The file's own header was left out of a segment",
    says: ({ length }) =>
      `a segment begins with the header of the file itself and its table of segments (${length} bytes): they were left out`,
    why: "Linkers load it for programs of an operating system. It describes the file and is no content of a memory.",
    next: "Nothing needs to be done.",
    since: "0.1.0",
  },
};
