import type { CrcModel } from "../algorithms/crc.js";
import type { Family, Keys, Variant } from "./family.js";
import { Field, reversedBits, timesTables } from "./field.js";

/** What CRCs of one polynomial and one bit order share. */
export interface CrcKind {
  readonly width: 8 | 16 | 24 | 32;
  readonly poly: number;
  readonly reflected: boolean;
}

/** The family of a polynomial. */
export function crcFamily(
  name: string,
  kind: CrcKind,
  models: readonly { readonly model: Omit<CrcModel, "name">; readonly bits: number }[],
  bits: number,
): Family {
  const field = new Field(kind.width, kind.poly);
  return {
    name,
    kind: "crc",
    width: kind.width,
    step: 1,
    bits,
    variants: models.map(({ model, bits: share }) => variantOf(kind, model, share)),
    joins: "after",
    decides: true,
    linear: true,
    bitsOfValue: () => kind.width,
    keysOf: (content, offsets) => new CrcKeys(field, kind.reflected, content, offsets),
  };
}

function variantOf({ width, reflected }: CrcKind, model: Omit<CrcModel, "name">, bits: number): Variant {
  const { init, xorout } = model;
  const added = Number(BigInt.asIntN(32, xorout));
  const turn = reflected ? (value: number) => reversedBits(value, width) : (value: number) => value;
  return {
    algorithm: model,
    form: "value",
    bits,
    init: Number(BigInt.asIntN(32, init)),
    toRaw: (stored) => turn(stored ^ added),
    toStored: (raw) => turn(raw) ^ added,
  };
}

const reversedBytes = Uint8Array.from({ length: 256 }, (_, byte) => reversedBits(byte, 8));

/**
 * With Q the register after the first bytes, from an empty one, the CRC of a..b is Q[b] + Q[a] * x^(8(b-a)). Times
 * x^(-8b) that is K[b] + K[a], where K[i] = Q[i] * x^(-8i): one number for each end. Values that are reflected are
 * turned over before they come here, so all of it happens in one domain.
 */
class CrcKeys implements Keys {
  readonly #keys: Int32Array;
  readonly #scaling: Scaling;
  readonly #tables = new Int32Array(1024);
  readonly #raisingTables = new Map<number, Int32Array>();
  readonly #raised = new Map<number, number>();
  readonly #shorter = new Map<number, Int32Array>();
  readonly #starts = new Map<number, Int32Array>();

  constructor(
    readonly field: Field,
    reflected: boolean,
    content: Uint8Array,
    readonly offsets: Int32Array,
  ) {
    const { width } = field;
    const table = field.byteTable();
    const high = width - 8;
    const mask = width === 32 ? -1 : 2 ** width - 1;
    const registers = new Int32Array(offsets.length);
    let register = 0;
    let at = 0;
    for (let i = 0; i < offsets.length; i++) {
      const offset = offsets[i] as number;
      if (reflected) {
        for (; at < offset; at++) {
          const byte = reversedBytes[content[at] as number] as number;
          register = ((register << 8) & mask) ^ (table[((register >>> high) ^ byte) & 255] as number);
        }
      } else {
        for (; at < offset; at++) {
          register =
            ((register << 8) & mask) ^ (table[((register >>> high) ^ (content[at] as number)) & 255] as number);
        }
      }
      registers[i] = register;
    }
    this.#scaling = new Scaling(field);
    this.#keys = this.#scaling.times(registers, offsets);
  }

  starts(init: number): Int32Array {
    if (init === 0) return this.#keys;
    let keys = this.#starts.get(init);
    if (!keys) {
      keys = this.#scaling.times(new Int32Array(this.offsets.length).fill(init), this.offsets);
      for (let i = 0; i < keys.length; i++) keys[i] = (keys[i] as number) ^ (this.#keys[i] as number);
      this.#starts.set(init, keys);
    }
    return keys;
  }

  wantedStarts(raws: Int32Array): Int32Array {
    const wanted = this.#scaling.times(raws, this.offsets);
    for (let i = 0; i < wanted.length; i++) wanted[i] = (wanted[i] as number) ^ (this.#keys[i] as number);
    return wanted;
  }

  value(start: number, end: number, init: number): number {
    const key = this.starts(init)[start] as number;
    return this.field.multiply((this.#keys[end] as number) ^ key, this.#raising(end));
  }

  /** x^(8b), kept for each end that was asked for. */
  #raising(end: number): number {
    let raising = this.#raised.get(end);
    if (raising === undefined) {
      raising = this.field.power(8 * (this.offsets[end] as number));
      this.#raised.set(end, raising);
    }
    return raising;
  }

  valuesTo(end: number, _starts: Int32Array, startKeys: Int32Array, count: number, values: Int32Array): void {
    let tables = this.#raisingTables.get(end);
    if (!tables) {
      const keep = this.#raisingTables.size < tablesKept;
      tables = this.field.tables(this.#raising(end), keep ? new Int32Array(1024) : this.#tables);
      if (keep) this.#raisingTables.set(end, tables);
    }
    const key = this.#keys[end] as number;
    for (let i = 0; i < count; i++) {
      const sum = key ^ (startKeys[i] as number);
      values[i] =
        (tables[sum & 255] as number) ^
        (tables[256 + ((sum >>> 8) & 255)] as number) ^
        (tables[512 + ((sum >>> 16) & 255)] as number) ^
        (tables[768 + (sum >>> 24)] as number);
    }
  }

  zeroed(startKey: number, from: number, to: number): number {
    return startKey ^ (this.#keys[from] as number) ^ (this.#keys[to] as number);
  }

  leftOut(startKey: number, from: number, to: number): number {
    const length = (this.offsets[to] as number) - (this.offsets[from] as number);
    let tables = this.#shorter.get(length);
    if (!tables) {
      tables = this.field.tables(this.field.power(-8 * length));
      this.#shorter.set(length, tables);
    }
    return timesTables(tables, startKey ^ (this.#keys[from] as number)) ^ (this.#keys[to] as number);
  }
}

/** Tables of 4 KiB each. */
const tablesKept = 256;

/** So many bytes at once go by one table, and the rest of an offset by another. */
const page = 1024;

/** Multiplies by x^(-8i), for offsets i in ascending order: by two tables each time, one for the page and one within. */
class Scaling {
  readonly #within: (Int32Array | undefined)[] = [];

  constructor(readonly field: Field) {}

  times(values: Int32Array, offsets: Int32Array): Int32Array {
    const products = new Int32Array(values.length);
    const pages = new Int32Array(1024);
    let at = -1;
    for (let i = 0; i < values.length; i++) {
      const offset = offsets[i] as number;
      const low = offset % page;
      if (offset - low !== at) {
        at = offset - low;
        this.field.tables(this.field.power(-8 * at), pages);
      }
      let tables = this.#within[low];
      if (!tables) {
        tables = this.field.tables(this.field.power(-8 * low));
        this.#within[low] = tables;
      }
      products[i] = timesTables(tables, timesTables(pages, values[i] as number));
    }
    return products;
  }
}
