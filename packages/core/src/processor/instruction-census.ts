import { bytePattern, standsAt } from "./byte-pattern.js";
import { encodings } from "./encodings.js";

interface Known {
  /** Which kind of instruction it is. */
  readonly number: number;
  readonly pattern: ReturnType<typeof bytePattern>;
  readonly alignment: number;
  /** Bytes of the pattern before the pair that it is looked up by. */
  readonly before: number;
}

/** The kinds of instructions of each row of `encodings`, by number: from the first to below the second. */
export const kindsOf: readonly (readonly [number, number])[] = numbered();
/** How many kinds there are. */
export const kindCount: number = kindsOf.at(-1)?.[1] ?? 0;

const known: Known[][] = [];
/** By pair of bytes: which list of `known` to try, counted from 1; 0 for none. */
const listOf = index();

/**
 * How many instructions of each kind begin in `bytes`, added to `counts`. `address` is that of the first byte: instructions stand at
 * multiples of their alignment. One pass; most places cost one look at a table.
 */
export function instructionsIn(bytes: Uint8Array, address: number, counts: Uint32Array): void {
  for (let i = 0; i + 1 < bytes.length; i++) {
    const list = listOf[((bytes[i] as number) << 8) | (bytes[i + 1] as number)] as number;
    if (list === 0) continue;
    for (const { number, pattern, alignment, before } of known[list - 1] as Known[]) {
      const at = i - before;
      if ((address + at) % alignment === 0 && standsAt(pattern, bytes, at))
        counts[number] = (counts[number] as number) + 1;
    }
  }
}

/** Every pattern under each pair of bytes that its most telling two neighbours can be. */
function index(): Uint16Array {
  const lists = new Map<number, Known[]>();
  encodings.forEach(({ patterns, alignment }, row) => {
    const kinds = patterns.split(" ").flatMap((kind, i) => kind.split("|").map((signs) => ({ signs, i })));
    for (const { signs, i } of kinds) {
      const number = (kindsOf[row] as readonly [number, number])[0] + i;
      const pattern = bytePattern(signs);
      const before = mostTelling(pattern.masks);
      const one = { number, pattern, alignment, before };
      for (let pair = 0; pair < 65536; pair++) {
        const fits =
          ((pair >> 8) & (pattern.masks[before] as number)) === pattern.values[before] &&
          (pair & 0xff & (pattern.masks[before + 1] as number)) === pattern.values[before + 1];
        if (fits) lists.set(pair, [...(lists.get(pair) ?? []), one]);
      }
    }
  });
  const slots = new Uint16Array(65536);
  const byContent = new Map<string, number>();
  for (const [pair, list] of lists) {
    const key = list.map(({ number }) => number).join();
    let slot = byContent.get(key);
    if (slot === undefined) {
      slot = known.push(list);
      byContent.set(key, slot);
    }
    slots[pair] = slot;
  }
  return slots;
}

/** The first of the two neighbouring bytes that have most digits fixed. */
function mostTelling(masks: Uint8Array): number {
  const digits = (mask: number) => (mask & 0xf0 ? 1 : 0) + (mask & 0x0f ? 1 : 0);
  let best = 0;
  let most = -1;
  for (let i = 0; i + 1 < masks.length; i++) {
    const fixed = digits(masks[i] as number) + digits(masks[i + 1] as number);
    if (fixed > most) [best, most] = [i, fixed];
  }
  return best;
}

function numbered(): [number, number][] {
  let next = 0;
  return encodings.map(({ patterns }) => {
    const first = next;
    next += patterns.split(" ").length;
    return [first, next];
  });
}
