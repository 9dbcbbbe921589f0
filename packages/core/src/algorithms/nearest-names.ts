/** Of `names` those that `wanted` may have been meant for, the likeliest first; at most `most`. Case does not matter. */
export function nearestNames(wanted: string, names: readonly string[], most = 3): string[] {
  if (wanted.length === 0 || wanted.length > 64) return [];
  const low = wanted.toLowerCase();
  const allowed = Math.max(1, Math.floor(wanted.length / 3));
  return names
    .map((name) => ({ name, distance: distanceBetween(low, name.toLowerCase()) }))
    .filter(({ name, distance }) => distance <= allowed || name.toLowerCase().startsWith(low))
    .sort((a, b) => a.distance - b.distance)
    .slice(0, most)
    .map(({ name }) => name);
}

/** The fewest letters to put in, take out or exchange that make one of the other (Levenshtein's distance). */
function distanceBetween(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, i) => i);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      const exchanged = (row[j - 1] as number) + (a[i - 1] === b[j - 1] ? 0 : 1);
      next.push(Math.min(exchanged, (row[j] as number) + 1, (next[j - 1] as number) + 1));
    }
    row = next;
  }
  return row[b.length] as number;
}
