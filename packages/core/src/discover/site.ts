import type { ByteOrder } from "../bytes/word.js";
import { aligned, type Boundaries, everyStep, type Seen, structureOf } from "./boundaries.js";
import { Cancelling } from "./cancelling.js";
import { fillEdges } from "./fill-edges.js";
import type { Ground } from "./ground.js";
import { pointedAt } from "./pointers.js";
import { bitsIn, type Texture, type TextureKind, textureOf } from "./texture.js";

/** A ground with what several searches of it need, made when it is first asked for. */
export class Site {
  /** For each content but the first: how many words before each word are not as in the first. */
  readonly changes: readonly Int32Array[];
  /** The same between two others, by pair. */
  readonly #between: Int32Array[] = [];
  readonly #boundaries = new Map<string, Boundaries>();
  readonly #others = new Map<string, unknown>();
  readonly #complements = new Map<string, Int32Array>();
  readonly #textures: Readonly<Record<TextureKind, (Texture | undefined)[]>> = { crc: [], add: [], xor: [] };

  constructor(
    readonly index: number,
    readonly ground: Ground,
    readonly known: readonly number[] = [],
    /** What it costs in bits to be in this ground and no other. */
    readonly bits = 0,
  ) {
    const [first, ...others] = ground.contents as readonly [Uint8Array, ...Uint8Array[]];
    this.changes = others.map((other) => changesBetween(first, other));
  }

  /** Boundaries of structure for values of `bytes`, at addresses that are multiples of `multiple`. */
  structure(bytes: number, multiple: number): Boundaries {
    return made(this.#boundaries, `${bytes}/${multiple}`, () =>
      aligned(
        this.ground,
        this.kept(`structure ${bytes}`, () => structureOf(this.ground, bytes, this.#seen(), this.known)),
        multiple,
      ),
    );
  }

  /** The same and every four bytes. */
  everyWord(bytes: number, multiple: number): Boundaries {
    return made(this.#boundaries, `${bytes}/${multiple}/words`, () =>
      everyStep(this.ground, this.structure(bytes, multiple), 4),
    );
  }

  #seen(): Seen {
    return this.kept("seen", () => ({ edges: fillEdges(this.ground), targets: pointedAt(this.ground) }));
  }

  /** Offsets of words of `bytes` that are followed by their complement in every content, and are no mere fill. */
  complements(bytes: number): Int32Array {
    return made(this.#complements, `${bytes}`, () => {
      const { address, length, contents } = this.ground;
      const found: number[] = [];
      const step = Math.min(bytes, 4);
      for (let at = (step - (address % step)) % step; at + 2 * bytes <= length; at += step) {
        if (contents.every((content) => complemented(content, at, bytes))) found.push(at);
      }
      return Int32Array.from(found);
    });
  }

  /** The bits that it is worth when beside a value of `bytes` stands its complement. */
  bitsOfComplement(bytes: number): number {
    return this.kept(`bits of complement ${bytes}`, () => {
      const places = this.ground.length / Math.min(bytes, 4);
      return Math.max(0, Math.min(8 * bytes, Math.log2(places / (this.complements(bytes).length + 1))));
    });
  }

  /** What `make` gives, made once under a name. */
  kept<Value>(name: string, make: () => Value): Value {
    return made(this.#others as Map<string, Value>, name, make);
  }

  /** What the range from `start` to `end` can prove at most in one content. */
  bitsIn(content: number, kind: TextureKind, start: number, end: number): number {
    let texture = this.#textures[kind][content];
    if (!texture) {
      texture = textureOf(this.ground.contents[content] as Uint8Array, kind);
      this.#textures[kind][content] = texture;
    }
    return bitsIn(texture, kind, start, end);
  }

  /** Whether the first content of the range and `value` come to nothing by XOR of words of `bytes`, as copies do. */
  cancels(bytes: 1 | 2 | 4, start: number, end: number, value: number): boolean {
    const cancelling = this.kept(
      `cancelling ${bytes}`,
      () => new Cancelling(this.ground.contents[0] as Uint8Array, bytes),
    );
    return cancelling.cancels(start, end, value);
  }

  /** How many words of the range are not in content `content` as in the first. */
  changed(content: number, start: number, end: number): number {
    const changes = this.changes[content - 1] as Int32Array;
    return (changes[Math.floor(end / 4)] as number) - (changes[Math.floor(start / 4)] as number);
  }

  /** How many words of the range differ between two contents, neither of them the first. */
  changedBetween(content: number, other: number, start: number, end: number): number {
    const { contents } = this.ground;
    const pair = content * contents.length + other;
    let changes = this.#between[pair];
    if (!changes) {
      changes = changesBetween(contents[content] as Uint8Array, contents[other] as Uint8Array);
      this.#between[pair] = changes;
    }
    return (changes[Math.floor(end / 4)] as number) - (changes[Math.floor(start / 4)] as number);
  }
}

/** The value of `bytes` at `at`, as an Int32. */
export function valueAt(content: Uint8Array, at: number, bytes: number, order: ByteOrder): number {
  let value = 0;
  if (order === "big") for (let i = 0; i < bytes; i++) value = (value << 8) | (content[at + i] as number);
  else for (let i = bytes - 1; i >= 0; i--) value = (value << 8) | (content[at + i] as number);
  return value;
}

/** Whether a value says nothing: all zeros or all ones. */
export function isTrivial(value: number, width: number): boolean {
  return value === 0 || value === (width === 32 ? -1 : (1 << width) - 1);
}

function complemented(content: Uint8Array, at: number, bytes: number): boolean {
  let telling = 0;
  for (let i = 0; i < bytes; i++) {
    const byte = content[at + i] as number;
    if (byte + (content[at + bytes + i] as number) !== 255) return false;
    if (byte !== 0 && byte !== 255) telling++;
  }
  return telling * 2 >= bytes;
}

function changesBetween(first: Uint8Array, other: Uint8Array): Int32Array {
  const words = Math.ceil(first.length / 4);
  const changes = new Int32Array(words + 1);
  for (let i = 0; i < words; i++) {
    let differs = 0;
    for (let at = 4 * i; at < 4 * i + 4 && at < first.length; at++) if (first[at] !== other[at]) differs = 1;
    changes[i + 1] = (changes[i] as number) + differs;
  }
  return changes;
}

function made<Key, Value>(kept: Map<Key, Value>, key: Key, make: () => Value): Value {
  const there = kept.get(key);
  if (there !== undefined || kept.has(key)) return there as Value;
  const value = make();
  kept.set(key, value);
  return value;
}
