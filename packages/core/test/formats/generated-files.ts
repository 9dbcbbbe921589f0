import type { Random } from "../reference/random.js";

/** Files of records made at random: whole ones of every kind, then damaged in every way that a transfer knows. */

const hex = (value: number, digits: number) => value.toString(16).toUpperCase().padStart(digits, "0");
const sum = (digits: string) => (digits.match(/../g) ?? []).reduce((all, pair) => all + Number.parseInt(pair, 16), 0);

/** One record of Intel HEX with its checksum. */
export function hexRecord(type: number, offset: number, data: Uint8Array): string {
  const body = hex(data.length, 2) + hex(offset, 4) + hex(type, 2) + Buffer.from(data).toString("hex").toUpperCase();
  return `:${body}${hex(-sum(body) & 0xff, 2)}`;
}

/** One S-record with its checksum. */
export function sRecord(type: number, address: number, data: Uint8Array): string {
  const width = [2, 2, 3, 4, 2, 2, 3, 4, 3, 2][type] as number;
  const body =
    hex(data.length + width + 1, 2) + hex(address, 2 * width) + Buffer.from(data).toString("hex").toUpperCase();
  return `S${type}${body}${hex(~sum(body) & 0xff, 2)}`;
}

const lineEnds = ["\n", "\r\n", "\r", "\n\n", " \n", "\t\r\n"];
const remarks = [
  "; built at 12:30",
  "# a remark",
  "$$ MODULES",
  "; 20240115",
  "  ",
  "\0\0",
  ": yes",
  "S12",
  "Segment S1 at S2",
];

/** The lines of a whole file of Intel HEX: bases, wraps, start addresses, overlaps. */
export function randomHexLines(random: Random): string[] {
  const lines: string[] = [];
  let offset = random.below(0x10000);
  for (let i = random.below(20) + 3; i > 0; i--) {
    const kind = random.below(12);
    if (kind === 0) lines.push(hexRecord(2, 0, random.bytes(2)));
    else if (kind === 1) lines.push(hexRecord(4, 0, random.below(4) === 0 ? Uint8Array.of(255, 255) : random.bytes(2)));
    else if (kind === 2) lines.push(hexRecord(random.below(2) === 0 ? 3 : 5, 0, random.bytes(4)));
    else {
      const count = random.below(6) === 0 ? random.below(256) : random.below(24);
      if (random.below(4) === 0) offset = random.below(3) === 0 ? 0xfff0 + random.below(16) : random.below(0x10000);
      if (random.below(6) === 0) offset = Math.max(0, offset - random.below(20));
      lines.push(hexRecord(0, offset % 0x10000, random.bytes(count)));
      offset = (offset + count) % 0x10000;
    }
  }
  if (random.below(5) > 0) lines.push(":00000001FF");
  if (random.below(8) === 0) lines.push(hexRecord(0, offset, random.bytes(4)));
  return lines;
}

/** The lines of a whole file of S-records. */
export function randomSLines(random: Random): string[] {
  const lines: string[] = random.below(2) === 0 ? [] : [sRecord(0, 0, random.bytes(random.below(20)))];
  let type = random.below(3) + 1;
  let address = random.below(256 ** (type + 1));
  let count = 0;
  for (let i = random.below(20) + 3; i > 0; i--) {
    if (random.below(12) === 0) {
      type = random.below(3) + 1;
      address = random.below(256 ** (type + 1));
    }
    if (random.below(6) === 0) address = Math.max(0, address - random.below(20));
    const length = random.below(6) === 0 ? random.below(251) : random.below(24);
    lines.push(sRecord(type, address % 256 ** (type + 1), random.bytes(length)));
    address = (address + length) % 256 ** (type + 1);
    count++;
  }
  if (random.below(2) === 0) lines.push(sRecord(5, count, new Uint8Array(0)));
  if (random.below(5) > 0) lines.push(sRecord(10 - type, 0, new Uint8Array(0)));
  if (random.below(8) === 0) lines.push(sRecord(1, 0, random.bytes(4)));
  return lines;
}

/** The file that `lines` make, with line ends, case and remarks of all kinds. */
export function randomText(lines: readonly string[], random: Random): string {
  const end = lineEnds[random.below(lineEnds.length)] as string;
  const mixed = random.below(4) === 0;
  const small = random.below(4) === 0;
  let text = "";
  for (const line of lines) {
    if (random.below(12) === 0) text += `${remarks[random.below(remarks.length)]}\n`;
    if (random.below(20) === 0) text += `${remarks[random.below(3)]} `;
    text += small ? line.slice(0, 1) + line.slice(1).toLowerCase() : line;
    if (random.below(40) === 0) text += " text";
    if (random.below(60) > 0) text += mixed ? lineEnds[random.below(lineEnds.length)] : end;
  }
  return text;
}

/** `text` with one to four of its characters changed, lost, doubled, or with its end cut off. */
export function damaged(text: string, random: Random): string {
  let result = text;
  for (let i = random.below(4) + 1; i > 0 && result.length > 0; i--) {
    const at = random.below(result.length);
    const kind = random.below(8);
    const digit = hex(random.below(16), 1);
    const bit = String.fromCharCode(result.charCodeAt(at) ^ (1 << random.below(8)));
    const changed = kind < 3 ? digit : kind === 3 ? "" : kind === 4 ? result.slice(at, at + 2) + digit : bit;
    result = kind === 7 ? result.slice(0, at) : result.slice(0, at) + changed + result.slice(at + 1);
  }
  return result;
}
