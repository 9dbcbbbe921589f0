import type { Finding } from "../findings/catalogue.js";
import type { Image } from "../image/image.js";

/** The formats that are written; all of them are read. */
export const writtenFormatNames = ["raw", "intel-hex", "s-record", "ti-txt", "tektronix-hex"] as const;
export type WrittenFormatName = (typeof writtenFormatNames)[number];

/** The formats that are read. */
export const formatNames = [...writtenFormatNames, "elf", "uf2", "dfu"] as const;
export type FormatName = (typeof formatNames)[number];

/** What an image can have come out of: a file, or a session of a flash container. */
export const imageSources = [...formatNames, "odx-f"] as const;
export type ImageSource = (typeof imageSources)[number];

/** The formats that are read without an address: the bytes of the memory one after the other. */
const bareFormats: readonly ImageSource[] = ["raw", "dfu"];

/** Whether files of `format` say no address: then base and layout are for the caller to say, and nothing is left out. */
export function isBare(format: ImageSource): format is "raw" | "dfu" {
  return bareFormats.includes(format);
}

/** The formats that are lines of records. */
export type RecordFormat = "intel-hex" | "s-record" | "tektronix-hex";

/** Where in its file a byte came from. */
export interface Origin {
  /** Bytes from the start of the file, from 0: of the byte itself (raw) or of its record. */
  readonly offset: number;
  /** 1-based line of the record, in text formats. */
  readonly line?: number;
  /** Which of the files it is in, from 0, when the image was put together from several. */
  readonly part?: number;
}

/** A start address that a file carries beside its data. `address` is where the processor starts. */
export type StartAddress =
  | {
      /** A code segment and an offset in it, of 16 bits each; `address` is 16 times the first plus the second. */
      readonly kind: "segmented";
      readonly address: number;
      readonly segment: number;
      readonly offset: number;
    }
  | {
      /** In a record of its own (`linear`), or in the record that ends the file (`termination`). */
      readonly kind: "linear" | "termination";
      readonly address: number;
    };

/** What a decoder gives back. A decoder never throws for what a file holds: what it saw on the way are findings. */
export interface Decoded {
  readonly format: ImageSource;
  readonly image: Image;
  readonly findings: readonly Finding[];
  readonly start?: StartAddress;
  /** Free text that the file carries about itself (the S0 header), unescaped, one character a byte. */
  readonly header?: string;
  /** What the file was opened out of, when it was packed. */
  readonly packed?: "gzip" | "zip";
  /**
   * The place in the file that the byte at `address` was taken from; undefined for a hole. Text formats look it up in
   * the file, which this keeps in memory. Of a packed file it is the place in what came out of it.
   */
  readonly originOf: (address: number) => Origin | undefined;
}
