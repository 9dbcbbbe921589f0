/**
 * The inner loops of the CRC engine. They know the register only in one shape: cut into 32-bit words, the byte that
 * meets the next message byte lowest in the first word. A register that shifts right (refin) has that shape by itself,
 * right-aligned; one that shifts left has it when it is left-aligned and its bytes are put in the opposite order. So one
 * loop serves both, at any width, and words of the message are added to it as they are loaded.
 */
import { wordPart } from "./words.js";

/**
 * For each word of the register an array of `slices` times 256 entries: entry 256 * s + b is what a byte b leaves in
 * that word after s more bytes.
 */
export type Tables = readonly Int32Array[];

/** The register after `bytes`, put where the register before them was. */
export type Kernel = (tables: Tables, register: Int32Array, bytes: Uint8Array) => void;

/** How many slices the kernel for a register of so many words looks up at once. More did not pay, measured. */
export function slicesFor(words: number): number {
  return words === 1 ? 16 : words === 2 ? 8 : 1;
}

export function kernelFor(words: number): Kernel {
  return words === 1 ? updateNarrow : words === 2 ? updateWide : updateWidest;
}

/** Tables from what each single bit of a byte leaves in the register, lowest bit first. */
export function tablesOf(bits: readonly Int32Array[], slices: number): Tables {
  const words = (bits[0] as Int32Array).length;
  const tables = Array.from({ length: words }, () => new Int32Array(256 * slices));
  for (const [word, table] of tables.entries()) {
    for (let byte = 1; byte < 256; byte++) {
      const lowest = 31 - Math.clz32(byte & -byte);
      table[byte] = (table[byte & (byte - 1)] as number) ^ ((bits[lowest] as Int32Array)[word] as number);
    }
  }
  for (let entry = 256; entry < 256 * slices; entry++) {
    const leaving = ((tables[0] as Int32Array)[entry - 256] as number) & 255;
    for (const [word, table] of tables.entries()) {
      const above = word + 1 < words ? ((tables[word + 1] as Int32Array)[entry - 256] as number) << 24 : 0;
      table[entry] = (((table[entry - 256] as number) >>> 8) | above) ^ (table[leaving] as number);
    }
  }
  return tables;
}

/** Up to 32 bits: sixteen bytes a round, each through its own slice, so that no lookup waits for another. */
function updateNarrow(tables: Tables, state: Int32Array, bytes: Uint8Array): void {
  const table = tables[0] as Int32Array;
  const { start, end, words } = wordPart(bytes, 4);
  let register = state[0] as number;
  for (let i = 0; i < start; i++) {
    register = (register >>> 8) ^ (table[(register ^ (bytes[i] as number)) & 255] as number);
  }
  for (let i = 0; i < words.length; i += 4) {
    const a = (words[i] as number) ^ register;
    const b = words[i + 1] as number;
    const c = words[i + 2] as number;
    const d = words[i + 3] as number;
    register =
      (table[3840 + (a & 255)] as number) ^
      (table[3584 + ((a >>> 8) & 255)] as number) ^
      (table[3328 + ((a >>> 16) & 255)] as number) ^
      (table[3072 + (a >>> 24)] as number) ^
      (table[2816 + (b & 255)] as number) ^
      (table[2560 + ((b >>> 8) & 255)] as number) ^
      (table[2304 + ((b >>> 16) & 255)] as number) ^
      (table[2048 + (b >>> 24)] as number) ^
      (table[1792 + (c & 255)] as number) ^
      (table[1536 + ((c >>> 8) & 255)] as number) ^
      (table[1280 + ((c >>> 16) & 255)] as number) ^
      (table[1024 + (c >>> 24)] as number) ^
      (table[768 + (d & 255)] as number) ^
      (table[512 + ((d >>> 8) & 255)] as number) ^
      (table[256 + ((d >>> 16) & 255)] as number) ^
      (table[d >>> 24] as number);
  }
  for (let i = end; i < bytes.length; i++) {
    register = (register >>> 8) ^ (table[(register ^ (bytes[i] as number)) & 255] as number);
  }
  state[0] = register;
}

/** 33 to 64 bits: eight bytes a round, two lookups each. */
function updateWide(tables: Tables, state: Int32Array, bytes: Uint8Array): void {
  const [lows, highs] = tables as [Int32Array, Int32Array];
  const { start, end, words } = wordPart(bytes, 2);
  updateBytes(tables, state, bytes, 0, start);
  let low = state[0] as number;
  let high = state[1] as number;
  for (let i = 0; i < words.length; i += 2) {
    const a = (words[i] as number) ^ low;
    const b = (words[i + 1] as number) ^ high;
    const a0 = 1792 + (a & 255);
    const a1 = 1536 + ((a >>> 8) & 255);
    const a2 = 1280 + ((a >>> 16) & 255);
    const a3 = 1024 + (a >>> 24);
    const b0 = 768 + (b & 255);
    const b1 = 512 + ((b >>> 8) & 255);
    const b2 = 256 + ((b >>> 16) & 255);
    const b3 = b >>> 24;
    low =
      (lows[a0] as number) ^
      (lows[a1] as number) ^
      (lows[a2] as number) ^
      (lows[a3] as number) ^
      (lows[b0] as number) ^
      (lows[b1] as number) ^
      (lows[b2] as number) ^
      (lows[b3] as number);
    high =
      (highs[a0] as number) ^
      (highs[a1] as number) ^
      (highs[a2] as number) ^
      (highs[a3] as number) ^
      (highs[b0] as number) ^
      (highs[b1] as number) ^
      (highs[b2] as number) ^
      (highs[b3] as number);
  }
  state[0] = low;
  state[1] = high;
  updateBytes(tables, state, bytes, end, bytes.length);
}

/** Any width, byte by byte. */
function updateWidest(tables: Tables, state: Int32Array, bytes: Uint8Array): void {
  updateBytes(tables, state, bytes, 0, bytes.length);
}

function updateBytes(tables: Tables, state: Int32Array, bytes: Uint8Array, from: number, to: number): void {
  const last = state.length - 1;
  for (let i = from; i < to; i++) {
    const entry = ((state[0] as number) ^ (bytes[i] as number)) & 255;
    for (let word = 0; word < last; word++) {
      state[word] =
        (((state[word] as number) >>> 8) | ((state[word + 1] as number) << 24)) ^
        ((tables[word] as Int32Array)[entry] as number);
    }
    state[last] = ((state[last] as number) >>> 8) ^ ((tables[last] as Int32Array)[entry] as number);
  }
}
