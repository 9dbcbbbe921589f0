/** Columns that text is set for where nobody says otherwise. */
export const USUAL_WIDTH = 80;

const least = 40;

/**
 * The columns to set text for: those that COLUMNS names, else the terminal's own, else 80. A pseudo-terminal can say 0;
 * below 40 columns nothing can be set in two columns, so that is the least.
 */
export function widthOf(
  environment: Readonly<Record<string, string | undefined>>,
  columns: number | undefined,
): number {
  const wanted = environment.COLUMNS;
  const named = wanted !== undefined && /^[1-9]\d{0,4}$/.test(wanted) ? Number(wanted) : undefined;
  return Math.max(least, named ?? (columns || USUAL_WIDTH));
}
