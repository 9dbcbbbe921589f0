/**
 * How much a range says. Ranges of fill, or of one word over and over, come out right for reasons of their own; so do,
 * to sums, ranges of evenly rising words, and to XOR, tables in which words are XORs of others, as those of a CRC are.
 */

/** For every word of four bytes how many telling ones stand before it. */
export type Texture = Int32Array;

/** By what a range is checked: to a CRC every new word is telling, to sums only one that does not follow from others. */
export type TextureKind = "crc" | "add" | "xor";

/** What one telling word is worth at most, in bits: less than its width, since words of firmware are no dice. */
const bitsOfWord: Readonly<Record<TextureKind, number>> = { crc: 4, add: 1, xor: 0.5 };
const recent = [1, 2, 3, 4];
const distances = [1, 2, 4, 8, 16];

/** The texture of `content`: a word is telling when it is no fill, like none of the four before, and follows from none. */
export function textureOf(content: Uint8Array, kind: TextureKind): Texture {
  const count = Math.floor(content.length / 4);
  const words = new Int32Array(count);
  for (let i = 0, at = 0; i < count; i++, at += 4) {
    words[i] =
      (content[at] as number) |
      ((content[at + 1] as number) << 8) |
      ((content[at + 2] as number) << 16) |
      ((content[at + 3] as number) << 24);
  }
  const telling = new Uint8Array(count);
  const isNew = kind === "crc" ? undefined : new Independence();
  for (let i = 0; i < count; i++) {
    if (isTelling(words, i, kind) && (!isNew || isNew.take(words[i] as number))) telling[i] = 1;
    if (kind === "add") cancel(words, telling, i);
  }
  const texture = new Int32Array(count + 1);
  for (let i = 0; i < count; i++) texture[i + 1] = (texture[i] as number) + (telling[i] as number);
  return texture;
}

/** The most that a check over `start` to `end` can prove, in bits, by what the range holds. */
export function bitsIn(texture: Texture, kind: TextureKind, start: number, end: number): number {
  const last = Math.floor(end / 4);
  const first = Math.min(last, Math.ceil(start / 4));
  return bitsOfWord[kind] * ((texture[last] as number) - (texture[first] as number));
}

function isTelling(words: Int32Array, i: number, kind: TextureKind): boolean {
  const word = words[i] as number;
  if (word === 0 || word === -1) return false;
  for (const back of recent) if (words[i - back] === word) return false;
  if (kind !== "add") return true;
  for (const back of distances) {
    if (i < back) break;
    const before = words[i - back] as number;
    if (kind === "add" && i >= 2 * back && ((word - before) | 0) === ((before - (words[i - 2 * back] as number)) | 0)) {
      return false;
    }
  }
  return true;
}

/** Words that add up to nothing with one shortly before them, or with their own other half, say nothing to a sum. */
function cancel(words: Int32Array, telling: Uint8Array, i: number): void {
  const word = words[i] as number;
  const half = (word >>> 16) + (word & 0xffff);
  const bytes = ((word >>> 8) & 0xff00ff) + (word & 0xff00ff);
  if (half === 0xffff || half === 0x10000 || bytes === 0xff00ff || bytes === 0x1000100) telling[i] = 0;
  for (const back of recent) {
    const sum = (word + (words[i - back] ?? 1)) | 0;
    if (sum !== 0 && sum !== -1) continue;
    telling[i] = 0;
    telling[i - back] = 0;
  }
}

/** Words that are no XOR of others before them. In random words a basis of so many leaves nearly every word new. */
const fullBasis = 28;

class Independence {
  /** By the place of their highest bit. */
  readonly #basis = new Int32Array(32);
  #size = 0;

  /** Whether `word` is no XOR of words that were taken lately. */
  take(word: number): boolean {
    let rest = word;
    while (rest !== 0) {
      const highest = 31 - Math.clz32(rest);
      const known = this.#basis[highest] as number;
      if (known === 0) {
        if (++this.#size === fullBasis) {
          this.#basis.fill(0);
          this.#size = 0;
        } else this.#basis[highest] = rest;
        return true;
      }
      rest ^= known;
    }
    return false;
  }
}
