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

/** The kinds by the pair of bytes that tells most of them. */
interface Index {
  /** By pair of bytes: which of `lists` to try, counted from 1; 0 for none. */
  readonly slots: Uint16Array;
  readonly lists: readonly (readonly Known[])[];
}

/** Made when it is first needed: most commands never ask. */
let index: Index | undefined;

/**
 * How many instructions of each kind begin in `bytes`, added to `counts`. `address` is that of the first byte: instructions stand at
 * multiples of their alignment. One pass; most places cost one look at a table.
 */
export function instructionsIn(bytes: Uint8Array, address: number, counts: Uint32Array): void {
  index ??= madeIndex();
  const { slots, lists } = index;
  for (let i = 0; i + 1 < bytes.length; i++) {
    const slot = slots[((bytes[i] as number) << 8) | (bytes[i + 1] as number)] as number;
    if (slot === 0) continue;
    for (const { number, pattern, alignment, before } of lists[slot - 1] as readonly Known[]) {
      const at = i - before;
      if ((address + at) % alignment === 0 && standsAt(pattern, bytes, at))
        counts[number] = (counts[number] as number) + 1;
    }
  }
}

/** Every pattern under each pair of bytes that its most telling two neighbours can be. */
function madeIndex(): Index {
  const slots = new Uint16Array(65536);
  const lists: (readonly Known[])[] = [];
  // From a list and the pattern that is added to it to the list with both: pairs with the same patterns share one.
  const longer = new Map<number, number>();
  encodings.forEach(({ patterns, alignment }, row) => {
    const kinds = patterns.split(" ").flatMap((kind, i) => kind.split("|").map((signs) => ({ signs, i })));
    for (const { signs, i } of kinds) {
      const number = (kindsOf[row] as readonly [number, number])[0] + i;
      const pattern = bytePattern(signs);
      const before = mostTelling(pattern.masks);
      const one = { number, pattern, alignment, before };
      longer.clear();
      for (const pair of pairsOf(pattern, before)) {
        const slot = slots[pair] as number;
        const next = longer.get(slot) ?? lists.push([...(lists[slot - 1] ?? []), one]);
        longer.set(slot, next);
        slots[pair] = next;
      }
    }
  });
  return { slots, lists };
}

/** Every pair of bytes that the pattern can have from its byte `before` on. */
function* pairsOf({ masks, values }: Known["pattern"], before: number): Generator<number> {
  const mask = ((masks[before] as number) << 8) | (masks[before + 1] as number);
  const value = ((values[before] as number) << 8) | (values[before + 1] as number);
  const free = ~mask & 0xffff;
  for (let bits = free; ; bits = (bits - 1) & free) {
    yield value | bits;
    if (bits === 0) return;
  }
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
