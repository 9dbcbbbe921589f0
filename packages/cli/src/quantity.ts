/** What was understood, or why it was not. */
export type Understood<Value> =
  | { readonly value: Value; readonly problem?: undefined }
  | { readonly value?: undefined; readonly problem: string };

/** A number that was understood, or why it was not. */
export type Quantity = Understood<number>;

const most = 2 ** 32;
const factors: Readonly<Record<string, number>> = { "": 1, k: 2 ** 10, m: 2 ** 20 };

/**
 * The number that `text` names: decimal, hexadecimal after 0x, either times 1024 with K and 1048576 with M. Whole
 * numbers from 0 to 2**32.
 */
export function parseQuantity(text: string): Quantity {
  const expected = "expected a number such as 4096, 0x1000, 4K or 1M";
  const parts = /^(0x[0-9a-f]+|\d+)([km]?)$/i.exec(text);
  if (!parts) return { problem: `${expected}, got ${text === "" ? "nothing" : text}` };
  const value = Number(parts[1]) * (factors[(parts[2] as string).toLowerCase()] as number);
  return value <= most ? { value } : { problem: `expected at most 0x100000000 (4096M), got ${text}` };
}

/** The addresses that `text` names, `START..END`, the end not among them, as reports write them: at least one. */
export function parseRange(text: string): Understood<{ readonly start: number; readonly end: number }> {
  const parts = text.split("..");
  if (parts.length !== 2)
    return { problem: `expected START..END such as 0x8000..512K, got ${text === "" ? "nothing" : text}` };
  const [start, end] = parts.map(parseQuantity) as [Quantity, Quantity];
  if (start.value === undefined) return start;
  if (end.value === undefined) return end;
  if (end.value <= start.value) return { problem: `expected an end behind the start, got ${text}` };
  return { value: { start: start.value, end: end.value } };
}
