/**
 * Of `names` those that `wanted` may have been meant for: first those that begin with it, then those spelt much like it.
 * At most `most`.
 */
export function nearestNames(wanted: string, names: readonly string[], most = 3): string[] {
  if (wanted.length === 0 || wanted.length > 64) return [];
  const allowed = Math.max(1, Math.floor(wanted.length / 4));
  return names
    .map((name) => ({ name, begins: name.startsWith(wanted), distance: distanceBetween(wanted, name) }))
    .filter(({ begins, distance }) => begins || distance <= allowed)
    .sort((a, b) => Number(b.begins) - Number(a.begins) || a.distance - b.distance)
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
