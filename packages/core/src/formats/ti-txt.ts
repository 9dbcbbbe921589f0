import { MEMORY_END } from "../bytes/span.js";
import { latin1 } from "../bytes/text.js";
import { type Finding, finding } from "../findings/catalogue.js";
import type { Decoded } from "./decoded.js";
import { isDigit, pairAt } from "./digits.js";
import { FilePieces } from "./file-pieces.js";
import { Remarks } from "./remarks.js";
import { endOfLine, LONGEST_LINE, lineEndAt, type Stretch, startOfText, trimmed } from "./text.js";

const AT = 0x40;
const ENDS = [0x71, 0x51]; // q, and the capital one

/** Bytes of a line, as the format is described. */
export const TI_TXT_WIDTH = 16;

/** A damaged line, and how many lines after it have no address because of it. */
interface LostLine {
  readonly tell: (lines: number) => Finding;
  lines: number;
}

/**
 * The image that a TI-TXT file describes: an address behind @, lines of bytes after it, q at the end. Source: Texas
 * Instruments SLAU101, section A.2, as srec_ti_txt(5) of SRecord 1.64 has it; addresses of more than four digits are
 * what general tools write. Nothing in it is checked by a sum, so after a damaged line nothing is placed until the
 * next address.
 */
export function decodeTiTxt(bytes: Uint8Array): Decoded {
  return new TiTxtReader(bytes).read();
}

class TiTxtReader {
  readonly #remarks = new Remarks();
  readonly #pieces: FilePieces;
  #next: number | undefined; // where the next byte goes; undefined when nobody knows
  #lost: LostLine | undefined;
  #width = 0; // of the first line that another one follows
  #before: { readonly count: number; readonly line: number; readonly offset: number } | undefined;
  #ended = false;
  #line = 0;

  constructor(readonly bytes: Uint8Array) {
    this.#pieces = new FilePieces(bytes.length >>> 1, false);
  }

  read(): Decoded {
    const { bytes } = this;
    let at = startOfText(bytes);
    const marked = at > 0;
    while (at < bytes.length) {
      this.#line++;
      const end = endOfLine(bytes, at);
      const text = trimmed(bytes, { start: at, end });
      if (text.end > text.start) this.#readLine(text, at);
      at = end + lineEndAt(bytes, end);
    }
    this.#closeLost();
    const { image, findings, originOf } = this.#pieces.build();
    const width = this.#width;
    return {
      format: "ti-txt",
      image,
      findings: [
        ...(marked ? [finding("file/byte-order-mark", {}, { line: 1, offset: 0 })] : []),
        ...this.#remarks.findings(),
        ...(width > 0 && width !== TI_TXT_WIDTH ? [finding("ti-txt/line-width", { width })] : []),
        ...(this.#ended
          ? []
          : [finding("ti-txt/missing-end", { line: this.#line }, { line: this.#line, offset: bytes.length })]),
        ...(image.length === 0 ? [finding("file/empty", { format: "ti-txt" })] : []),
        ...findings,
      ],
      originOf,
    };
  }

  #readLine(text: Stretch, lineStart: number): void {
    const { bytes } = this;
    const place = { line: this.#line, offset: text.start };
    if (this.#ended) this.#remarks.repeated("ti-txt/text-after-end", place, {});
    else if (ENDS.includes(bytes[text.start] as number) && text.end === text.start + 1) this.#ended = true;
    else if (text.end - text.start > LONGEST_LINE) {
      const facts = { line: this.#line, length: text.end - text.start, limit: LONGEST_LINE };
      this.#lose((_lines) => finding("file/line-too-long", facts, place));
    } else if (bytes[text.start] === AT) this.#readAddress(text);
    else this.#readData(text, lineStart);
  }

  #readAddress({ start, end }: Stretch): void {
    this.#closeLost();
    this.#before = undefined;
    const digits = this.bytes.subarray(start + 1, end);
    if (digits.length >= 1 && digits.length <= 8 && digits.every(isDigit)) {
      this.#next = Number.parseInt(latin1(digits), 16);
      return;
    }
    const facts = { line: this.#line, text: latin1(this.bytes.subarray(start, Math.min(end, start + 12))) };
    const place = { line: this.#line, offset: start };
    this.#lose((lines) => finding("ti-txt/address-wrong", { ...facts, lines }, place));
  }

  #readData(text: Stretch, lineStart: number): void {
    const line = this.#line;
    const place = { line, offset: text.start };
    if (this.#next === undefined) {
      if (this.#lost) this.#lost.lines++;
      else this.#lose((lines) => finding("ti-txt/data-unplaced", { line, lines }, place));
      return;
    }
    const data = this.#bytesOf(text);
    if (typeof data === "number") {
      const facts = { line, column: data - lineStart + 1, character: this.bytes[data] as number };
      this.#lose((lines) => finding("ti-txt/digit-wrong", { ...facts, lines }, { line, offset: text.start }));
      return;
    }
    if (this.#next + data.length > MEMORY_END) {
      this.#lose((lines) => finding("ti-txt/address-overflow", { line, length: data.length, lines }, place));
      return;
    }
    this.#checkWidth();
    this.#before = { count: data.length, ...place };
    this.#pieces.add(this.#next, data, place);
    this.#next += data.length;
  }

  /** The bytes that a line spells, or the place of the character that is in the way. */
  #bytesOf({ start, end }: Stretch): Uint8Array | number {
    const { bytes } = this;
    const data = new Uint8Array((end - start + 1) >>> 1);
    let count = 0;
    for (let at = start; at < end; ) {
      const character = bytes[at] as number;
      if (character === 0x20 || character === 0x09) {
        at++;
        continue;
      }
      const byte = at + 1 < end ? pairAt(bytes, at) : -1;
      if (byte < 0) return isDigit(character) && at + 1 < end ? at + 1 : at;
      if (at + 2 < end && bytes[at + 2] !== 0x20 && bytes[at + 2] !== 0x09) return at + 2;
      data[count++] = byte;
      at += 2;
    }
    return data.subarray(0, count);
  }

  /** Holds the line before this one, which was not the last of its section, to the width of the others. */
  #checkWidth(): void {
    const before = this.#before;
    if (!before) return;
    if (this.#width === 0) this.#width = before.count;
    const { count: got, line, offset } = before;
    if (got !== this.#width) {
      this.#remarks.repeated("ti-txt/lines-uneven", { line, offset }, { width: this.#width, got });
    }
  }

  #lose(tell: (lines: number) => Finding): void {
    this.#closeLost();
    this.#lost = { tell, lines: 0 };
    this.#next = undefined;
    this.#before = undefined;
  }

  #closeLost(): void {
    const lost = this.#lost;
    this.#lost = undefined;
    if (lost) this.#remarks.damage(this.#line, () => lost.tell(lost.lines));
  }
}
