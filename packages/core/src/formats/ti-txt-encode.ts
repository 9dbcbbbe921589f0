import type { Image } from "../image/image.js";
import { digitsOfByte } from "./digits.js";
import { TI_TXT_WIDTH } from "./ti-txt.js";

const BLANK = 0x20;

/**
 * `image` as TI-TXT, holes left out: sections of 16 bytes a line, addresses of four digits, of eight where they are
 * needed. The format has no start address.
 */
export function encodeTiTxt(image: Image, lineEnd: Uint8Array): Uint8Array {
  const heads = image.segments.map(({ address }) => `@${hexAddress(address)}`);
  const size = image.segments.reduce((total, { bytes }, i) => {
    const lines = Math.ceil(bytes.length / TI_TXT_WIDTH);
    return total + (heads[i] as string).length + 3 * bytes.length - lines + (lines + 1) * lineEnd.length;
  }, 1 + lineEnd.length);
  const file = new Uint8Array(size);
  const view = new DataView(file.buffer);
  let at = 0;
  const write = (text: string) => {
    for (let i = 0; i < text.length; i++) file[at++] = text.charCodeAt(i);
  };
  const endLine = () => {
    file.set(lineEnd, at);
    at += lineEnd.length;
  };
  for (const [i, { bytes }] of image.segments.entries()) {
    write(heads[i] as string);
    endLine();
    for (let from = 0; from < bytes.length; from += TI_TXT_WIDTH) {
      const end = Math.min(from + TI_TXT_WIDTH, bytes.length);
      for (let index = from; index < end; index++, at += 2) {
        if (index > from) file[at++] = BLANK;
        view.setUint16(at, digitsOfByte[bytes[index] as number] as number, true);
      }
      endLine();
    }
  }
  write("q");
  endLine();
  return file;
}

function hexAddress(address: number): string {
  return address
    .toString(16)
    .toUpperCase()
    .padStart(address < 0x10000 ? 4 : 8, "0");
}
