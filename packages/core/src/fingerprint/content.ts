import { type Digest, portableDigest } from "../algorithms/digest.js";
import { lengthOf, type Span } from "../bytes/span.js";
import type { Image } from "../image/image.js";
import { Stream } from "./stream.js";

/** Memory is taken in by rows of so many bytes, the first at address 0. */
const rowLength = 16;

/** What a byte reads as that holds nothing, by convention: a profile may know better, this digest has none. */
const blank = 0xff;

/**
 * The digest of all content that stands at its address, lower-case hex: SHA-256 over what docs/fingerprint.md
 * specifies. A byte that is not known counts as FF, and rows of FF do not count, so it is the same from every file
 * format and whether or not rows of FF were left out. Undefined when the image holds nothing but FF.
 */
export function contentDigest(image: Image, hashes: Digest = portableDigest): string | undefined {
  const stream = new Stream(hashes);
  let runs = 0;
  stream.addText("assay content 1\n");
  for (const run of writtenRuns(image)) {
    stream.addBytes(header(run));
    stream.addSpan(image, run, blank);
    runs++;
  }
  return runs === 0 ? undefined : stream.digest();
}

/** The maximal runs of rows that hold anything but FF. */
function* writtenRuns(image: Image): Generator<Span> {
  let start = 0;
  let end = -1;
  for (const { address, bytes } of image.segments) {
    const last = address + bytes.length;
    for (let row = address - (address % rowLength); row < last; row += rowLength) {
      if (isBlank(bytes, row - address)) continue;
      if (row > end) {
        if (end > start) yield { start, end };
        start = row;
      }
      end = row + rowLength; // of the same row when two segments share it
    }
  }
  if (end > start) yield { start, end };
}

/** Whether what `bytes` hold of the row from `offset` on, which may begin before them or reach past them, is blank. */
function isBlank(bytes: Uint8Array, offset: number): boolean {
  const end = Math.min(offset + rowLength, bytes.length);
  for (let i = Math.max(offset, 0); i < end; i++) if (bytes[i] !== blank) return false;
  return true;
}

/** Address and length, eight bytes each, most significant first. */
function header(run: Span): Uint8Array {
  const bytes = new Uint8Array(16);
  let address = run.start;
  let length = lengthOf(run);
  for (let i = 7; i >= 0; i--) {
    bytes[i] = address % 256;
    bytes[8 + i] = length % 256;
    address = Math.floor(address / 256);
    length = Math.floor(length / 256);
  }
  return bytes;
}
