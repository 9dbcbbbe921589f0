import type { Random } from "./random.js";

/**
 * Routines in the instruction words of the 68000 family (big-endian, public): what a compiler of those years made of a
 * control program, by its habits and their shares. The words are right one by one; nothing was ever meant to run them.
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

// Operations whose word is whole; for a two-operand one the registers (0 to 7) are put in where `dn` and `sn` stand.
const push = 0x2f00; // move.l sn,-(sp)
const pushLocal = 0x2f2e; // move.l d16(a6),-(sp)
const pushGlobal = 0x2f2d; // move.l d16(a5),-(sp)
const callFar = 0x4eb9; // jsr abs.l
const quick = 0x7000; // moveq #low byte,dn
const branch = { always: 0x6000, unequal: 0x6600, equal: 0x6700, atLeast: 0x6c00, below: 0x6d00, above: 0x6e00 };
const conditions = [branch.unequal, branch.equal, branch.equal, branch.atLeast, branch.below, branch.above];

/** Work on registers: dn in bits 9 to 11, sn in bits 0 to 2. */
const arithmetic: readonly (readonly [number, number])[] = [
  [9, 0x2000], // move.l sn,dn
  [8, 0xd080], // add.l sn,dn
  [6, 0x9080], // sub.l sn,dn
  [2, 0xc0c0], // mulu sn,dn
  [1, 0x80c0], // divu sn,dn
  [3, 0xc080], // and.l sn,dn
  [2, 0x8080], // or.l sn,dn
];
/** Work on one register, in bits 0 to 2. */
const single: readonly (readonly [number, number])[] = [
  [5, 0x5280], // addq.l #1
  [3, 0x5380], // subq.l #1
  [4, 0x48c0], // ext.l
  [4, 0x4280], // clr.l
  [3, 0xe588], // lsl.l #2
  [3, 0xe488], // lsr.l #2
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
    const kept = this.#random.pick([0x3000, 0x3020, 0x3c20, 0x3f30]);
    const restored = { 12288: 0x000c, 12320: 0x040c, 15392: 0x043c, 16176: 0x0cfc }[kept] as number;
    this.#words.push(0x4e56, this.#random.pick([0, 0xfffc, 0xfff8, 0xfff0])); // link a6
    this.#words.push(0x48e7, kept); // movem.l to the stack
    this.#block(size, 2);
    this.#words.push(0x4cdf, restored, 0x4e5e, 0x4e75); // movem.l back, unlk a6, rts
    if (this.#words.length % 2 === 1) this.#words.push(0x4e71); // nop
    return { words: this.#words, links: this.#links };
  }

  #address(address: number): void {
    this.#words.push(Math.floor(address / 0x10000), address % 0x10000);
  }

  #link(target: Target): void {
    this.#links.push({ word: this.#words.length, target });
    this.#address(0);
  }

  /** A data register; the low-numbered ones are the common ones. */
  #register(): number {
    return this.#random.skewed(5);
  }

  /** Distance of an argument (behind a6) or a local (before it). */
  #local(): number {
    return this.#random.chance(0.6) ? 8 + 4 * this.#random.skewed(4) : 0x10000 - 4 * (1 + this.#random.skewed(4));
  }

  /** Distance of a global variable from a5. */
  #global(): number {
    const own = this.#random.chance(0.85);
    return own
      ? 0x10000 - 0x2000 + 0x40 * this.#module + 2 * this.#random.skewed(20)
      : 0x9000 + 2 * this.#random.skewed(120);
  }

  #ofModule(all: readonly number[], count: number): number {
    return all[(this.#module * count + this.#random.below(count)) % all.length] as number;
  }

  #block(things: number, depth: number): void {
    for (let i = 0; i < things; i++) this.#thing(depth);
  }

  #thing(depth: number): void {
    const nested = depth > 0 ? 1 : 0;
    const { pick, words } = { pick: this.#random, words: this.#words };
    pick.weighted<() => void>([
      [10, () => words.push(0x202e + 0x200 * this.#register(), this.#local())], // move.l d16(a6),dn
      [6, () => words.push(0x206e + 0x200 * pick.skewed(3), this.#local())], // movea.l d16(a6),an
      [10, () => words.push(0x302d + 0x200 * this.#register(), this.#global())], // move.w d16(a5),dn
      [6, () => words.push(0x2d40 + this.#register(), this.#local())], // move.l sn,d16(a6)
      [9, () => words.push(0x3b40 + this.#register(), this.#global())], // move.w sn,d16(a5)
      [14, () => words.push(pick.weighted(arithmetic) + 0x200 * this.#register() + this.#register())],
      [10, () => words.push(pick.weighted(single) + this.#register())],
      [8, () => words.push(quick + 0x200 * this.#register() + pick.skewed(0x60))],
      [3, () => words.push(pick.pick([0x42ad, 0x526d, 0x536d, 0x42ae]), this.#global())], // clear, count up or down
      [3, () => words.push(pick.pick([0x08ed, 0x08ad, 0x082d]), pick.below(8), this.#global())], // one bit
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

  #loadScalar(): void {
    this.#words.push(0x3039 + 0x200 * this.#register()); // move.w abs.l,dn
    this.#address(this.#ofModule(this.#neighbours.scalars, 7));
  }

  #callTo(index: number, pushed: number): void {
    this.#words.push(callFar);
    this.#link({ kind: "routine", index });
    if (pushed === 1)
      this.#words.push(0x588f); // addq.l #4,sp
    else if (pushed === 2)
      this.#words.push(0x508f); // addq.l #8,sp
    else if (pushed > 2) this.#words.push(0x4fef, 4 * pushed); // lea d16(sp),sp
  }

  /** A value out of a table of the calibration: both inputs, the table, the helper that interpolates. */
  #lookUp(): void {
    this.#words.push(pushGlobal, this.#global(), pushGlobal, this.#global(), 0x4879); // pea abs.l
    this.#address(this.#ofModule(this.#neighbours.tables, 4));
    this.#callTo(this.#random.below(3), 3);
    this.#words.push(0x3b40, this.#global());
  }

  #call(): void {
    const { helpers, routines } = this.#neighbours;
    const pushed = this.#random.below(4);
    for (let i = 0; i < pushed; i++) {
      if (this.#random.chance(0.6)) this.#words.push(push + this.#random.pick([0, 2, 3, 4, 10, 10, 11]));
      else this.#words.push(pushLocal, this.#local());
    }
    this.#callTo(this.#random.chance(0.55) ? this.#random.skewed(helpers) : this.#random.below(routines), pushed);
    if (this.#random.chance(0.5)) this.#words.push(0x4a80, branch.equal + 2 * this.#random.between(2, 20)); // tst.l d0
  }

  #reportFault(): void {
    this.#words.push(0x4878, 0x2000 + this.#random.below(0x180)); // pea of the code
    this.#callTo(4, 1);
  }

  #say(): void {
    this.#words.push(0x4879);
    this.#link({ kind: "text", index: this.#random.below(this.#neighbours.texts) });
    this.#callTo(5, 1);
  }

  /** A variable changed with interrupts held off. */
  #update(): void {
    this.#words.push(0x40e7, 0x007c, 0x0700, 0x526d, this.#global(), 0x46df); // move sr, ori, addq.w, move back
  }

  #choice(depth: number): void {
    if (this.#random.chance(0.4))
      this.#words.push(0xb080 + 0x200 * this.#register() + this.#register()); // cmp.l
    else if (this.#random.chance(0.5))
      this.#words.push(0x4a80 + this.#register()); // tst.l
    else this.#words.push(0x0c6d, this.#random.pick([0, 1, 2, 100, 1000, 0x7fff]), this.#global()); // cmpi.w
    const from = this.#words.length;
    this.#words.push(this.#random.pick(conditions));
    this.#block(this.#random.between(1, 4), depth);
    this.#words[from] = (this.#words[from] as number) + Math.min(0x7e, 2 * (this.#words.length - from - 1));
  }

  #loop(depth: number): void {
    this.#words.push(quick + 0x0e00 + this.#random.between(1, 15));
    const from = this.#words.length;
    this.#block(this.#random.between(2, 4), depth);
    this.#words.push(0x51cf, 0x10000 - 2 * (this.#words.length - from + 1)); // dbra d7
  }

  /** A choice between many: a table of addresses in the midst of the code. */
  #cases(): void {
    const count = this.#random.between(4, 9);
    this.#words.push(quick + 0x200 + count, 0xb280, branch.below + 2 * (2 * count + 4)); // moveq, cmp.l d0,d1
    this.#words.push(0xe588, 0x207b, 0x0804, 0x4ed0); // lsl.l #2, movea.l 4(pc,d0.l),a0, jmp (a0)
    const table = this.#words.length;
    for (let i = 0; i < count; i++) this.#address(0);
    for (let i = 0; i < count; i++) {
      this.#links.push({ word: table + 2 * i, target: { kind: "here", word: this.#words.length } });
      this.#block(this.#random.between(1, 3), 0);
      this.#words.push(branch.always + Math.min(0x7e, 16 * (count - i)));
    }
  }
}
