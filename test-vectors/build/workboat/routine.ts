import type { Random } from "./random.js";

/**
 * Routines of an invented processor: 16-bit words, the operation in the high byte, two registers or a short distance
 * in the low one, addresses and constants in the words behind. Nothing runs it; it has the habits of compiled code.
 */

/** What a word pair in a routine points to, filled in when all addresses are known. */
export type Target =
  | { readonly kind: "routine"; readonly index: number }
  | { readonly kind: "text"; readonly index: number }
  | { readonly kind: "here"; readonly word: number };

export interface Routine {
  readonly words: readonly number[];
  readonly links: readonly { readonly word: number; readonly target: Target }[];
}

/** What a routine may refer to. */
export interface Neighbours {
  readonly routines: number;
  /** The first so many routines are helpers that everybody calls. */
  readonly helpers: number;
  readonly texts: number;
  readonly tables: readonly number[];
  readonly scalars: readonly number[];
}

const operation = {
  none: 0x00, move: 0x21, constant: 0x2c, load: 0x34, store: 0x35, loadFar: 0x3c, point: 0x3e,
  add: 0x41, subtract: 0x42, multiply: 0x45, divide: 0x46, and: 0x48, or: 0x49, shiftUp: 0x4c, shiftDown: 0x4d,
  extend: 0x4f, compare: 0x51, compareShort: 0x52, testBit: 0x54, setBit: 0x56, clearBit: 0x57,
  equal: 0x61, unequal: 0x62, above: 0x64, below: 0x65, branch: 0x60, countDown: 0x68,
  call: 0x7a, jumpBy: 0x7c, push: 0x71, pop: 0x72, back: 0x7f, lock: 0x0e, unlock: 0x0f,
} as const; // biome-ignore format: a table reads better in rows
type Operation = keyof typeof operation;

const conditions: readonly Operation[] = ["equal", "unequal", "above", "below"];
const arithmetic: readonly (readonly [number, Operation])[] = [
  [9, "move"],
  [8, "add"],
  [6, "subtract"],
  [3, "shiftDown"],
  [3, "shiftUp"],
  [2, "multiply"],
  [1, "divide"],
  [3, "and"],
  [2, "or"],
  [3, "extend"],
];

/** A routine that does `size` things or a few more. */
export function routine(random: Random, neighbours: Neighbours, size: number): Routine {
  return new Writer(random, neighbours).whole(size);
}

class Writer {
  readonly #words: number[] = [];
  readonly #links: { readonly word: number; readonly target: Target }[] = [];
  readonly #random: Random;
  readonly #neighbours: Neighbours;
  /** The module that this routine belongs to: its variables lie together, and it has settings and tables of its own. */
  readonly #module: number;

  constructor(random: Random, neighbours: Neighbours) {
    this.#random = random;
    this.#neighbours = neighbours;
    this.#module = random.below(40);
  }

  whole(size: number): Routine {
    const kept = this.#random.pick([0x0c, 0x1c, 0x3c, 0x7c]);
    this.#emit("push", kept);
    this.#block(size, 2);
    this.#emit("pop", kept);
    this.#emit("back", 0);
    if (this.#words.length % 2 === 1) this.#emit("none", 0);
    return { words: this.#words, links: this.#links };
  }

  #emit(name: Operation, low: number, ...behind: number[]): void {
    this.#words.push(operation[name] * 0x100 + low, ...behind);
  }

  #address(address: number): void {
    this.#words.push(Math.floor(address / 0x10000), address % 0x10000);
  }

  #link(target: Target): void {
    this.#links.push({ word: this.#words.length, target });
    this.#address(0);
  }

  /** Two registers; the low-numbered ones are the common ones. */
  #registers(): number {
    return 0x10 * this.#random.skewed(6) + this.#random.skewed(6);
  }

  #variable(): number {
    const own = this.#random.chance(0.85);
    return own ? 0x8000 + 0x40 * this.#module + 2 * this.#random.skewed(20) : 0x9000 + 2 * this.#random.skewed(120);
  }

  #ofModule(all: readonly number[], count: number): number {
    return all[(this.#module * count + this.#random.below(count)) % all.length] as number;
  }

  #block(things: number, depth: number): void {
    for (let i = 0; i < things; i++) this.#thing(depth);
  }

  #thing(depth: number): void {
    const nested = depth > 0 ? 1 : 0;
    this.#random.weighted<() => void>([
      [20, () => this.#emit("load", this.#registers(), this.#variable())],
      [13, () => this.#emit("store", this.#registers(), this.#variable())],
      [24, () => this.#emit(this.#random.weighted(arithmetic), this.#registers())],
      [7, () => this.#emit("constant", this.#registers(), this.#plainNumber())],
      [6, () => this.#emit(this.#random.pick(["testBit", "setBit", "clearBit"] as const), this.#registers())],
      [6, () => this.#loadScalar()],
      [5, () => this.#lookUp()],
      [9, () => this.#call()],
      [3, () => this.#reportFault()],
      [1, () => this.#say()],
      [1.5, () => this.#update()],
      [9 * nested, () => this.#choice(depth - 1)],
      [2 * nested, () => this.#loop(depth - 1)],
      [0.5 * nested, () => this.#cases()],
    ])();
  }

  #plainNumber(): number {
    const random = this.#random;
    return random.pick([
      random.below(16),
      2 ** random.below(12),
      10 * random.below(100),
      100 * random.below(60),
      0xffff,
    ]);
  }

  #loadScalar(): void {
    this.#emit("loadFar", this.#registers());
    this.#address(this.#ofModule(this.#neighbours.scalars, 7));
  }

  /** A value out of a table of the calibration: both inputs, the table, the helper that interpolates. */
  #lookUp(): void {
    this.#emit("load", 0x00, this.#variable());
    this.#emit("load", 0x10, this.#variable());
    this.#emit("point", 0x20);
    this.#address(this.#ofModule(this.#neighbours.tables, 4));
    this.#emit("call", 0);
    this.#link({ kind: "routine", index: this.#random.below(3) });
    this.#emit("store", 0x00, this.#variable());
  }

  #call(): void {
    const { helpers, routines } = this.#neighbours;
    const common = this.#random.chance(0.55);
    this.#emit("call", 0);
    this.#link({ kind: "routine", index: common ? this.#random.skewed(helpers) : this.#random.below(routines) });
  }

  #reportFault(): void {
    this.#emit("constant", 0x00, 0x2000 + this.#random.below(0x180));
    this.#emit("call", 0);
    this.#link({ kind: "routine", index: 4 });
  }

  #say(): void {
    this.#emit("point", 0x00);
    this.#link({ kind: "text", index: this.#random.below(this.#neighbours.texts) });
    this.#emit("call", 0);
    this.#link({ kind: "routine", index: 5 });
  }

  /** A variable changed with interrupts held off. */
  #update(): void {
    const variable = this.#variable();
    this.#emit("lock", 0);
    this.#emit("load", 0x00, variable);
    this.#emit("add", 0x01);
    this.#emit("store", 0x00, variable);
    this.#emit("unlock", 0);
  }

  #choice(depth: number): void {
    if (this.#random.chance(0.6)) this.#emit("compareShort", this.#random.below(32));
    else this.#emit("compare", this.#registers());
    const from = this.#words.length;
    this.#emit(this.#random.pick(conditions), 0);
    this.#block(this.#random.between(1, 4), depth);
    this.#words[from] = (this.#words[from] as number) + Math.min(0xff, this.#words.length - from - 1);
  }

  #loop(depth: number): void {
    this.#emit("constant", 0x70, this.#random.between(2, 16));
    const from = this.#words.length;
    this.#block(this.#random.between(2, 4), depth);
    this.#emit("countDown", 0x100 - Math.min(0x80, this.#words.length - from + 1));
  }

  /** A choice between many: a table of addresses in the midst of the code. */
  #cases(): void {
    const count = this.#random.between(4, 9);
    this.#emit("compareShort", count);
    this.#emit("above", 2 * count + 1);
    this.#emit("jumpBy", 0);
    const table = this.#words.length;
    for (let i = 0; i < count; i++) this.#address(0);
    for (let i = 0; i < count; i++) {
      this.#links.push({ word: table + 2 * i, target: { kind: "here", word: this.#words.length } });
      this.#block(this.#random.between(1, 3), 0);
      this.#emit("branch", Math.min(0xff, 8 * (count - i)));
    }
  }
}
