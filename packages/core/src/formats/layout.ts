import { Refusal } from "../findings/refusal.js";

/** How the bytes of a raw file lie against those of the memory. The same step leads there and back. */
const orders = {
  "as-is": [0],
  "swap-16": [1, 0],
  "swap-32": [3, 2, 1, 0],
  "swap-halves-32": [2, 3, 0, 1],
} as const satisfies Record<string, readonly number[]>;

export type LayoutName = keyof typeof orders;

/** The layouts that a raw file can be read with. */
export const layoutNames = Object.keys(orders) as LayoutName[];

/**
 * The bytes of `bytes` in the order of the memory: pairs exchanged, words of four reversed, or their halves exchanged.
 * @throws RangeError for no layout; Refusal when the length is no multiple of the word
 */
export function rearranged(bytes: Uint8Array, layout: LayoutName): Uint8Array {
  const order: readonly number[] = orders[layout];
  if (layout === "as-is") return bytes;
  if (bytes.length % order.length !== 0) {
    throw new Refusal(
      "file/layout-odd",
      `layout ${layout}: expected a multiple of ${order.length} bytes, got ${bytes.length}`,
    );
  }
  const result = new Uint8Array(bytes.length);
  for (let at = 0; at < bytes.length; at += order.length) {
    for (let i = 0; i < order.length; i++) result[at + i] = bytes[at + (order[i] as number)] as number;
  }
  return result;
}

/** Where in the file the byte stands that `rearranged` puts at `offset`. */
export function offsetBefore(offset: number, layout: LayoutName): number {
  const order: readonly number[] = orders[layout];
  const within = offset % order.length;
  return offset - within + (order[within] as number);
}

/**
 * The memory whose bytes were split over several parts, one byte to each in turn: the first byte from the first part.
 * @throws Refusal when there are not two or four parts, or they are not of one size
 */
export function interleaved(parts: readonly Uint8Array[]): Uint8Array {
  const length = parts[0]?.length ?? 0;
  if (parts.length !== 2 && parts.length !== 4) {
    throw new Refusal("file/parts-count", `part files: expected 2 or 4, got ${parts.length}`);
  }
  if (parts.some((part) => part.length !== length)) {
    const sizes = parts.map((part) => part.length).join(", ");
    throw new Refusal("file/parts-unequal", `part files: expected one size, got ${sizes}`);
  }
  const whole = new Uint8Array(length * parts.length);
  for (const [k, part] of parts.entries())
    for (let i = 0; i < length; i++) whole[i * parts.length + k] = part[i] as number;
  return whole;
}

/** The memory whose parts lie one behind the other, in the order given. */
export function joinedParts(parts: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(parts.reduce((total, part) => total + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

/** The parts that `interleaved` would put together to `whole`. */
export function splitInto(whole: Uint8Array, count: 2 | 4): Uint8Array[] {
  if (whole.length % count !== 0) {
    throw new Refusal("file/layout-odd", `split: expected a multiple of ${count} bytes, got ${whole.length}`);
  }
  return Array.from({ length: count }, (_, k) =>
    Uint8Array.from({ length: whole.length / count }, (__, i) => whole[i * count + k] as number),
  );
}
