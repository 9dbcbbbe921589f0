import type { Entries } from "../finding.js";

/** What the reader of files with a USB DFU suffix can say (USB DFU 1.1, appendix B; from memory). */
export interface DfuFacts {
  "dfu/suffix-removed": DfuNumbers & { readonly length: number; readonly release: string };
  "dfu/prefix-removed": { readonly length: number };
  "dfu/checksum-wrong": { readonly stated: number; readonly computed: number };
  "dfu/version-unknown": { readonly version: string };
}

interface DfuNumbers {
  /** Four lower-case digits; ffff stands for any. */
  readonly vendor: string;
  readonly product: string;
}

const crcText = (value: number) => value.toString(16).padStart(8, "0");
const again = "Fetch the file again from where it was made.";

export const dfuEntries: Entries<DfuFacts> = {
  "dfu/suffix-removed": {
    severity: "note",
    title: "The file ends with a DFU suffix",
    says: ({ length, vendor, product, release }) =>
      `the last ${length} bytes are a suffix for loading over USB: vendor ${vendor}, product ${product}, release ${release}; they are not part of the image`,
    why: "The suffix says for which device the file is and is never written to it.",
    next: "Compare vendor and product with the device.",
    since: "0.1.0",
  },
  "dfu/prefix-removed": {
    severity: "note",
    title: "A header was put before the DFU file",
    says: ({ length }) =>
      `the CRC holds without the first ${length} bytes: a header for the loader, put there when the suffix was made already; it is not part of the image`,
    why: "Start-up loaders of one family want such a header. It is no content of the memory.",
    next: "Nothing needs to be done.",
    since: "0.1.0",
  },
  "dfu/checksum-wrong": {
    severity: "stop",
    title: "The checksum of the DFU file is wrong",
    says: ({ stated, computed }) => `the suffix states the CRC ${crcText(stated)}; the file gives ${crcText(computed)}`,
    expected: ({ computed }) => crcText(computed),
    found: ({ stated }) => crcText(stated),
    why: "The file, its suffix or both were changed or damaged. Any byte may be wrong.",
    next: again,
    since: "0.1.0",
  },
  "dfu/version-unknown": {
    severity: "review",
    title: "The DFU suffix is of a version that is not known",
    says: ({ version }) => `the suffix states version ${version} of the format; 0100 and 0110 are known`,
    expected: () => "0100 or 0110",
    found: ({ version }) => version,
    why: "Content of another version may carry addresses of its own. It was taken as it stands, from its first byte on.",
    next: "Find out which program wrote the file.",
    since: "0.1.0",
  },
};
