import { isPrintable } from "../bytes/text.js";
import { readUint } from "../bytes/word.js";
import { bytePattern, standsAt } from "./byte-pattern.js";
import type { CodeSlots, Header, StartFact, VectorTable } from "./start-facts.js";

/** Whether `bytes`, a memory from its first to its last byte, keep to `fact`. */
export function keepsTo({ layout }: StartFact, bytes: Uint8Array): boolean {
  switch (layout.kind) {
    case "vectors":
      return holdsVectors(layout, bytes);
    case "slots":
      return holdsCode(layout, bytes);
    case "header":
      return layout.offsets.some((at) => holdsHeader(layout, bytes, at));
  }
}

/** A memory that ends where its map ends was read in such steps; a file that a build made ends anywhere. */
const wholeParts = 1024;

function holdsVectors(table: VectorTable, bytes: Uint8Array): boolean {
  const { width, order, entries, rest, addressBits = 8 * width } = table;
  const length = width * entries.length;
  if (bytes.length < 2 * length || (table.at === "end" && bytes.length % wholeParts !== 0)) return false;
  const from = table.at === "start" ? 0 : bytes.length - length;
  const unused = 2 ** (8 * width) - 1;
  const code: number[] = [];
  const stacks: number[] = [];
  for (let i = 0; i < entries.length; i++) {
    const whole = readUint(bytes.subarray(from + i * width, from + (i + 1) * width), order);
    const value = whole % 2 ** addressBits;
    const sign = entries[i];
    if (sign === "." || (whole === unused && (sign === "o" || sign === "e")) || (whole === 0 && sign === "o")) continue;
    if (sign === "z") {
      if (whole !== 0) return false;
    } else if (sign === "s") stacks.push(whole);
    else if (rest !== undefined && value % 2 !== rest) return false;
    else code.push(value);
  }
  if (isText(bytes.subarray(from, from + length))) return false;
  if (code.length < table.least || new Set(code).size < table.different) return false;
  return holdsAll(code, table, bytes.length, length) && stacks.every((stack) => isStack(stack, table, code));
}

/** Whether most of it are letters and signs: words of text pass for addresses. */
function isText(bytes: Uint8Array): boolean {
  return bytes.filter(isPrintable).length > 0.75 * bytes.length;
}

/** Whether all addresses can be of one memory that is as long as the image. */
function holdsAll(
  code: readonly number[],
  { top, windows, fromZero }: VectorTable,
  length: number,
  tableLength: number,
): boolean {
  const [least, most] = [Math.min(...code), Math.max(...code)];
  if (windows && !code.every((one) => windows.some(([start, end]) => one >= start && one < end))) return false;
  if (top !== undefined) return least >= top - length && most < top - tableLength;
  if (fromZero) return least >= tableLength / 2 && most < length;
  return least > 0 && most - least < length;
}

function isStack(stack: number, { stack: range }: VectorTable, code: readonly number[]): boolean {
  if (stack === 0 || stack % 4 !== 0) return false;
  if (range) return stack >= range[0] && stack < range[1];
  return stack < Math.min(...code) || stack > Math.max(...code);
}

function holdsCode({ offsets, patterns, least }: CodeSlots, bytes: Uint8Array): boolean {
  const wanted = patterns.map(bytePattern);
  const held = offsets.filter((at) => wanted.some((pattern) => standsAt(pattern, bytes, at)));
  if (held.length < least || held[0] !== offsets[0]) return false;
  const length = (patterns[0] as string).length / 2;
  return new Set(held.flatMap((at) => [...bytes.subarray(at, at + length)])).size > 1;
}

function holdsHeader({ pattern, complements = [], start }: Header, bytes: Uint8Array, at: number): boolean {
  if (!standsAt(bytePattern(pattern), bytes, at)) return false;
  const inverse = ([a, b]: readonly [number, number]) =>
    [0, 1, 2, 3].every((i) => ((bytes[at + a + i] as number) ^ (bytes[at + b + i] as number)) === 0xff);
  if (!complements.every(inverse)) return false;
  if (start === undefined) return true;
  const address = readUint(bytes.subarray(at + start, at + start + 4), "big");
  return address > 0 && address % 4 === 0 && address < bytes.length;
}
