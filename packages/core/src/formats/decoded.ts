import type { Finding } from "../findings/catalogue.js";
import type { Image } from "../image/image.js";

/** The formats that are read and written. */
export const formatNames = ["raw", "intel-hex", "s-record"] as const;
export type FormatName = (typeof formatNames)[number];

/** Where in its file a byte came from. */
export interface Origin {
  /** Bytes from the start of the file, from 0: of the byte itself (raw) or of its record. */
  readonly offset: number;
  /** 1-based line of the record, in text formats. */
  readonly line?: number;
}

/** A start address that a file carries beside its data. */
export interface StartAddress {
  /** As the CPU takes it: the linear address. */
  readonly address: number;
  /** How the file states it. */
  readonly kind: "segmented" | "linear" | "termination";
}

/** What a decoder gives back. A decoder never throws for what a file holds: what it saw on the way are findings. */
export interface Decoded {
  readonly format: FormatName;
  readonly image: Image;
  readonly findings: readonly Finding[];
  readonly start?: StartAddress;
  /** Free text that the file carries about itself (the S0 header), unescaped. */
  readonly header?: string;
  /** What the file was opened out of, when it was packed. */
  readonly packed?: "gzip" | "zip";
  /** The place in the file that the byte at `address` was taken from; undefined for a hole. */
  readonly originOf: (address: number) => Origin | undefined;
}
