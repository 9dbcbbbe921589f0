/** Numbers that look random and are the same on every machine: each label starts a row of its own. */
export class Random {
  #state: number;

  constructor(label: string) {
    // FNV-1a over the label: two labels that differ in one character start far apart.
    let hash = 0x811c9dc5;
    for (let i = 0; i < label.length; i++) hash = Math.imul(hash ^ label.charCodeAt(i), 0x01000193);
    this.#state = hash >>> 0;
  }

  /** 0 to just under 1 (the mulberry32 generator). */
  next(): number {
    this.#state = (this.#state + 0x6d2b79f5) >>> 0;
    let mixed = this.#state;
    mixed = Math.imul(mixed ^ (mixed >>> 15), mixed | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  }

  /** A whole number from 0 to `limit - 1`. */
  below(limit: number): number {
    return Math.floor(this.next() * limit);
  }

  /** A whole number from `low` to `high`, both included. */
  between(low: number, high: number): number {
    return low + this.below(high - low + 1);
  }

  /** A whole number from 0 to `limit - 1` of which the small ones are the common ones. */
  skewed(limit: number): number {
    return Math.floor(limit * this.next() ** 3);
  }

  chance(share: number): boolean {
    return this.next() < share;
  }

  pick<T>(from: readonly T[]): T {
    return from[this.below(from.length)] as T;
  }

  /** A pick in which each entry comes up as often as its weight says. */
  weighted<T>(from: readonly (readonly [weight: number, value: T])[]): T {
    let rest = this.next() * from.reduce((total, [weight]) => total + weight, 0);
    for (const [weight, value] of from) {
      rest -= weight;
      if (rest < 0) return value;
    }
    return (from.at(-1) as readonly [number, T])[1];
  }

  /** The same things in another order. */
  shuffled<T>(things: readonly T[]): T[] {
    const order = [...things];
    for (let i = order.length - 1; i > 0; i--) {
      const other = this.below(i + 1);
      [order[i], order[other]] = [order[other] as T, order[i] as T];
    }
    return order;
  }
}
