/** The one of `names` that `text` was most likely meant to be, or undefined when none is near. */
export function nearest(text: string, names: Iterable<string>): string | undefined {
  let best: string | undefined;
  let least = Math.max(2, Math.floor(text.length / 3)) + 1;
  for (const name of names) {
    if (Math.abs(name.length - text.length) >= least) continue;
    const steps = stepsBetween(text, name);
    if (steps < least) [best, least] = [name, steps];
  }
  return best;
}

/** How many characters to add, drop, change or swap with the next to get from one to the other. */
function stepsBetween(from: string, to: string): number {
  const row = (length: number) => new Array<number>(length + 1).fill(0);
  let beforeLast = row(to.length);
  let last = row(to.length).map((_, i) => i);
  for (let i = 1; i <= from.length; i++) {
    const current = row(to.length);
    current[0] = i;
    for (let j = 1; j <= to.length; j++) {
      const changed = from[i - 1] === to[j - 1] ? 0 : 1;
      const steps = [(last[j] as number) + 1, (current[j - 1] as number) + 1, (last[j - 1] as number) + changed];
      if (i > 1 && j > 1 && from[i - 1] === to[j - 2] && from[i - 2] === to[j - 1]) {
        steps.push((beforeLast[j - 2] as number) + 1);
      }
      current[j] = Math.min(...steps);
    }
    [beforeLast, last] = [last, current];
  }
  return last[to.length] as number;
}
