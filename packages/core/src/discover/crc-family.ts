import type { CrcModel } from "../algorithms/crc.js";
import type { Family, Keys, Variant } from "./family.js";
import { Field, reversedBits, timesTables, timesTablesAll } from "./field.js";
import { Scaling } from "./scaling.js";

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
  readonly #tables: Int32Array;
  #tablesFor = -1;
  readonly #kept = new Map<number, Int32Array>();
  readonly #shorter = new Map<number, { readonly tables: Int32Array; readonly factor: number }>();
  readonly #starts = new Map<number, Int32Array>();

  constructor(
    readonly field: Field,
    reflected: boolean,
    content: Uint8Array,
    readonly offsets: Int32Array,
  ) {
    this.#scaling = Scaling.of(field, offsets);
    this.#tables = field.noTables();
    this.#keys = this.#scaling.lowered(registersAt(field, reflected, content, offsets));
  }

  starts(init: number): Int32Array {
    if (init === 0) return this.#keys;
    let keys = this.#starts.get(init);
    if (!keys) {
      keys = this.scaled(init).slice();
      for (let i = 0; i < keys.length; i++) keys[i] = (keys[i] as number) ^ (this.#keys[i] as number);
      this.#starts.set(init, keys);
    }
    return keys;
  }

  wantedStarts(raws: Int32Array, ends: Int32Array): Int32Array {
    const wanted = this.#scaling.lowered(raws, ends);
    for (let i = 0; i < wanted.length; i++)
      wanted[i] = (wanted[i] as number) ^ (this.#keys[ends[i] as number] as number);
    return wanted;
  }

  scaled(constant: number): Int32Array {
    return this.#scaling.constant(constant);
  }

  value(start: number, end: number, init: number): number {
    const key = this.starts(init)[start] as number;
    return this.field.multiply((this.#keys[end] as number) ^ key, this.#scaling.raising(end));
  }

  valuesTo(end: number, _starts: Int32Array, startKeys: Int32Array, count: number, values: Int32Array): void {
    timesTablesAll(this.#raisingTables(end), startKeys, this.#keys[end] as number, count, values);
  }

  /** Those of the first ends that were asked for are kept, and those of the last one. */
  #raisingTables(end: number): Int32Array {
    const kept = this.#kept.get(end);
    if (kept) return kept;
    if (this.#kept.size < tablesKept) {
      const tables = this.field.tables(this.#scaling.raising(end));
      this.#kept.set(end, tables);
      return tables;
    }
    if (this.#tablesFor !== end) this.field.tables(this.#scaling.raising(end), this.#tables);
    this.#tablesFor = end;
    return this.#tables;
  }

  wantedStart(end: number, raw: number): number {
    return this.field.multiply(raw, this.#scaling.lowering(end)) ^ (this.#keys[end] as number);
  }

  zeroed(startKey: number, from: number, to: number): number {
    return startKey ^ (this.#keys[from] as number) ^ (this.#keys[to] as number);
  }

  leftOut(startKey: number, from: number, to: number): number {
    const { tables } = this.#shortened(from, to);
    return timesTables(tables, startKey ^ (this.#keys[from] as number)) ^ (this.#keys[to] as number);
  }

  unmoved(moved: number, from: number, to: number, counted: "zeros" | "left-out"): number {
    if (counted === "zeros") return this.zeroed(moved, from, to);
    const longer = this.field.multiply(moved ^ (this.#keys[to] as number), this.#shortened(from, to).factor);
    return longer ^ (this.#keys[from] as number);
  }

  /** By what a key is multiplied when bytes are left out, as tables, and by what to undo that. */
  #shortened(from: number, to: number) {
    const length = (this.offsets[to] as number) - (this.offsets[from] as number);
    let shorter = this.#shorter.get(length);
    if (!shorter) {
      const { field } = this;
      shorter = { tables: field.tables(field.power(-8 * length)), factor: field.power(8 * length) };
      this.#shorter.set(length, shorter);
    }
    return shorter;
  }
}

/** Tables of up to 4 KiB each. */
const tablesKept = 256;

/** What the register holds at each offset, from an empty one. */
function registersAt(field: Field, reflected: boolean, content: Uint8Array, offsets: Int32Array): Int32Array {
  const { width } = field;
  const plain = field.byteTable();
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
        register = ((register << 8) & mask) ^ (plain[((register >>> high) ^ byte) & 255] as number);
      }
    } else {
      for (; at < offset; at++) {
        register = ((register << 8) & mask) ^ (plain[((register >>> high) ^ (content[at] as number)) & 255] as number);
      }
    }
    registers[i] = register;
  }
  return registers;
}
