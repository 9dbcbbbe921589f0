/** How many times the step inside of rows the one between them is, or the one to the next row that over half a row. */
const broken = 2;
/** A step in a row differs from that above it by at most this many times their mean; of shuffled values it is 1.4. */
const parallel = 1.2;

/** Whether the rows of `columns` are made up: what goes on across their ends as it does inside of them is a list. */
export function isList(values: Uint16Array, columns: number): boolean {
  const count = values.length;
  const rows = count / columns;
  const half = columns >> 1;
  let [rises, falls] = [0, 0];
  let [within, breaks, row, halfRow, twisted] = [0, 0, 0, 0, 0];
  for (let i = 1; i < count; i++) {
    const value = values[i] as number;
    const step = value - (values[i - 1] as number);
    if (step > 0) rises++;
    else if (step < 0) falls++;
    if (i % columns === 0) breaks += Math.abs(step);
    else within += Math.abs(step);
    if (i >= half) halfRow += Math.abs(value - (values[i - half] as number));
    if (i < columns) continue;
    row += Math.abs(value - (values[i - columns] as number));
    if (i % columns === 0) continue;
    twisted += Math.abs(step - (values[i - columns] as number) + (values[i - columns - 1] as number));
  }
  // In order nearly throughout: in a table that rises along its rows each row begins lower again.
  if (Math.min(rises, falls) < (rows - 1) / 2) return true;
  // A table comes back to itself after a row, and is further away after half of one,
  if ((broken * row) / (count - columns) <= halfRow / (count - half)) return false;
  // or it breaks off at the end of each, and each row goes much as the one before it: a list has its leaps anywhere.
  const step = within / (count - rows);
  return breaks / (rows - 1) < broken * step || twisted / ((rows - 1) * (columns - 1)) > parallel * step;
}
