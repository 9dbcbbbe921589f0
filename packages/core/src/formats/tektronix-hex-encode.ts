import type { Image } from "../image/image.js";
import type { StartAddress } from "./decoded.js";
import { digitsOfByte } from "./digits.js";
import { PERCENT } from "./tektronix-hex-record.js";

/** Length, type, checksum, the width of the address (always 8), and the address. */
const HEAD = 14;

/** Data bytes that fit into a record: its length counts characters and has two digits. */
const MOST = Math.floor((0xff - HEAD) / 2);

/** How an image is to be written as Tektronix extended hex. */
export interface TektronixOptions {
  readonly recordLength: number;
  readonly lineEnd: Uint8Array;
  readonly start?: StartAddress | undefined;
}

/** `image` as Tektronix extended hex with addresses of eight digits, holes left out, and the record that ends it. */
export function encodeTektronixHex(image: Image, { recordLength, lineEnd, start }: TektronixOptions): Uint8Array {
  const step = Math.min(recordLength, MOST);
  const around = 1 + HEAD + lineEnd.length;
  const records = image.segments.reduce((total, { bytes }) => total + Math.ceil(bytes.length / step), 0);
  const file = new Uint8Array((records + 1) * around + 2 * image.length);
  const view = new DataView(file.buffer);
  let at = 0;
  const record = (type: number, address: number, data: Uint8Array) => {
    const first = at + 1;
    file[at] = PERCENT;
    view.setUint16(first, digitsOfByte[HEAD + 2 * data.length] as number, true);
    file[first + 2] = 0x30 + type;
    file[first + 5] = 0x38;
    for (let i = 0; i < 4; i++) {
      const byte = Math.floor(address / 256 ** (3 - i)) % 256;
      view.setUint16(first + 6 + 2 * i, digitsOfByte[byte] as number, true);
    }
    for (const [i, byte] of data.entries()) view.setUint16(first + HEAD + 2 * i, digitsOfByte[byte] as number, true);
    const end = first + HEAD + 2 * data.length;
    let sum = 0;
    for (let i = first; i < end; i++) if (i < first + 3 || i >= first + 5) sum += nibble(file[i] as number);
    view.setUint16(first + 3, digitsOfByte[sum % 256] as number, true);
    file.set(lineEnd, end);
    at = end + lineEnd.length;
  };
  for (const { address, bytes } of image.segments) {
    for (let from = 0; from < bytes.length; from += step) record(6, address + from, bytes.subarray(from, from + step));
  }
  record(8, start?.address ?? 0, new Uint8Array(0));
  return file;
}

/** The value of a capital digit. */
function nibble(character: number): number {
  return character < 0x41 ? character - 0x30 : character - 0x37;
}
