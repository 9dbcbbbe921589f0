/**
 * The number of a road vehicle: 17 characters, never I, O or Q (ISO 3779), and the check digit that some markets put
 * at position 9 (49 CFR 565.15(c): transliterate, weigh by position, add, remainder modulo 11, 10 is written X).
 */

const values: Readonly<Record<string, number>> = {
  A: 1, B: 2, C: 3, D: 4, E: 5, F: 6, G: 7, H: 8, J: 1, K: 2, L: 3, M: 4, N: 5, P: 7, R: 9,
  S: 2, T: 3, U: 4, V: 5, W: 6, X: 7, Y: 8, Z: 9,
}; // biome-ignore format: a table reads better in rows

const weights = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];

/** What keeps `text` from being such a number, or undefined. Says nothing about its check digit. */
export function machineNumberProblem(text: string): "length" | "character" | undefined {
  if (text.length !== 17) return "length";
  return /^[0-9A-HJ-NPR-Z]{17}$/.test(text) ? undefined : "character";
}

/** The check digit that a well-formed number of 17 characters must carry at position 9 where it is in use. */
export function checkDigitOf(number: string): string {
  let sum = 0;
  for (const [i, character] of [...number].entries()) {
    sum += (values[character] ?? Number(character)) * (weights[i] as number);
  }
  return sum % 11 === 10 ? "X" : String(sum % 11);
}
