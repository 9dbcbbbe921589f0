/** One line of a table: how many times as fast as the peer (or, for whole processes, how many times its time). */
export interface Row {
  readonly what: string;
  readonly peer: string;
  readonly ratio: number;
  readonly speed: string;
  readonly goal?: string;
}

export interface Suite {
  readonly title: string;
  readonly rows: readonly Row[];
}

/** The median time of each piece of work in milliseconds; they take turns, so that a busy machine is unfair to none. */
export function medians(rounds: number, ...work: readonly (() => unknown)[]): number[] {
  return mediansBy(() => performance.now(), rounds, work);
}

/** The same in time that the processor spent on it: what else the machine does meanwhile hardly shows. */
export function processorMedians(rounds: number, ...work: readonly (() => unknown)[]): number[] {
  const now = () => {
    const { user, system } = process.cpuUsage();
    return (user + system) / 1000;
  };
  return mediansBy(now, rounds, work);
}

function mediansBy(now: () => number, rounds: number, work: readonly (() => unknown)[]): number[] {
  const times = work.map(() => [] as number[]);
  for (let round = 0; round <= rounds; round++) {
    for (const [i, one] of work.entries()) {
      const start = now();
      one();
      if (round > 0) times[i]?.push(now() - start); // the first round warms up
    }
  }
  return times.map((list) => list.sort((a, b) => a - b)[list.length >> 1] as number);
}

/** Megabytes a second. */
export function speedOf(bytes: number, milliseconds: number): string {
  return `${(bytes / 1e3 / milliseconds).toFixed(0)} MB/s`;
}

/** Bytes that look like a program: neither constant nor noise, the same in every run. */
export function content(length: number): Uint8Array {
  let state = 1;
  return Uint8Array.from({ length }, (_, i) => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return i % 7 === 0 ? 0 : state >>> 24;
  });
}
