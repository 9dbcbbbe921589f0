import { type Field, timesTables } from "./field.js";

/** So many bytes at once go by one table, and the rest of an offset by another. */
const page = 1024;
/** Steps between neighbouring offsets of which the tables are kept. */
const stepsKept = 256;

/** Multiplies by x^(-8i) and by x^(8i), where i are offsets in ascending order. */
export class Scaling {
  static #last: Scaling | undefined;

  /** The one of `field` and `offsets`: made once for all contents that are looked at one after the other. */
  static of(field: Field, offsets: Int32Array): Scaling {
    if (Scaling.#last?.field !== field || Scaling.#last.offsets !== offsets)
      Scaling.#last = new Scaling(field, offsets);
    return Scaling.#last;
  }

  readonly #within: (Int32Array | undefined)[] = [];
  readonly #constants = new Map<number, Int32Array>();
  readonly #lowering = new Map<number, number>();
  #raised: Int32Array | undefined;

  private constructor(
    readonly field: Field,
    readonly offsets: Int32Array,
  ) {}

  /** Each value times x^(-8i), i the offset at each of `indices`, or at every index: by two tables each time, one for the page and one within. */
  lowered(values: Int32Array, indices?: Int32Array): Int32Array {
    const { field, offsets } = this;
    const products = new Int32Array(values.length);
    const pages = field.noTables();
    let begins = -1;
    for (let i = 0; i < values.length; i++) {
      const offset = offsets[indices ? (indices[i] as number) : i] as number;
      const low = offset % page;
      if (offset - low !== begins) {
        begins = offset - low;
        field.tables(field.power(-8 * begins), pages);
      }
      let tables = this.#within[low];
      if (!tables) {
        tables = field.tables(field.power(-8 * low));
        this.#within[low] = tables;
      }
      products[i] = timesTables(tables, timesTables(pages, values[i] as number));
    }
    return products;
  }

  /** One value times x^(-8i) for all offsets: from each to the next. Not to be written to. */
  constant(value: number): Int32Array {
    let all = this.#constants.get(value);
    if (!all) {
      all = this.#onward(value, -8);
      this.#constants.set(value, all);
    }
    return all;
  }

  /** x^(8i) of the offset at `index`. */
  raising(index: number): number {
    this.#raised ??= this.#onward(1, 8);
    return this.#raised[index] as number;
  }

  /** x^(-8i) of the offset at `index`. */
  lowering(index: number): number {
    let power = this.#lowering.get(index);
    if (power === undefined) {
      power = this.field.power(-8 * (this.offsets[index] as number));
      this.#lowering.set(index, power);
    }
    return power;
  }

  #onward(value: number, exponent: -8 | 8): Int32Array {
    const { field, offsets } = this;
    const products = new Int32Array(offsets.length);
    const steps = new Map<number, Int32Array>();
    let product = value;
    let at = 0;
    let last = 0;
    let tables: Int32Array | undefined;
    for (let i = 0; i < offsets.length; i++) {
      const step = (offsets[i] as number) - at;
      at += step;
      if (step !== last || !tables) {
        tables = steps.get(step) ?? field.tables(field.power(exponent * step));
        if (steps.size < stepsKept) steps.set(step, tables);
        last = step;
      }
      product = timesTables(tables, product);
      products[i] = product;
    }
    return products;
  }
}
