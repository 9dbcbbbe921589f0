import type { ByteOrder } from "../bytes/word.js";

/** Bytes read as values of one width, from one phase on. */
export interface Series {
  readonly width: 1 | 2;
  /** Undefined of single bytes. */
  readonly order: ByteOrder | undefined;
  /** Offset of the first value. */
  readonly phase: number;
  readonly values: Uint16Array;
}

/** Every way to read `bytes` as values of 8 and of 16 bits. */
export function seriesOf(bytes: Uint8Array): Series[] {
  const words = (["little", "big"] as const).flatMap((order) =>
    [0, 1].map((phase): Series => ({ width: 2, order, phase, values: wordsFrom(bytes, phase, order) })),
  );
  return [{ width: 1, order: undefined, phase: 0, values: new Uint16Array(bytes) }, ...words];
}

function wordsFrom(bytes: Uint8Array, phase: number, order: ByteOrder): Uint16Array {
  const count = Math.max(0, (bytes.length - phase) >> 1);
  const values = new Uint16Array(count);
  const high = order === "big" ? phase : phase + 1;
  const low = order === "big" ? phase + 1 : phase;
  for (let i = 0; i < count; i++) {
    values[i] = ((bytes[high + 2 * i] as number) << 8) | (bytes[low + 2 * i] as number);
  }
  return values;
}

/** What a value counts as when it is read with a sign: adding this makes the order that of unsigned values. */
export function signBit(width: 1 | 2): number {
  return width === 1 ? 0x80 : 0x8000;
}
