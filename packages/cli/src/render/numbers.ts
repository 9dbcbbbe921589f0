/** Runs of addresses as a report lists them. */
export interface Run {
  readonly start: number;
  readonly length: number;
}

/** An address as people read it: 0x and eight capital digits. */
export function showAddress(address: number): string {
  return `0x${address.toString(16).toUpperCase().padStart(8, "0")}`;
}

/** A run with its first address, the one just past it, and its size: nobody has to guess which end is meant. */
export function showRun({ start, length }: Run): string {
  return `${showAddress(start)}..${showAddress(start + length)} (${countOf(length, "byte")})`;
}

/** A number with its noun. */
export function countOf(number: number, noun: string, plural = `${noun}s`): string {
  return `${number} ${number === 1 ? noun : plural}`;
}

/** A share in percent. What is not all of it never reads as 100, what is not nothing never as 0. */
export function showShare(share: number): string {
  const percent = (100 * share).toFixed(1);
  if (share < 1 && percent === "100.0") return "over 99.9 %";
  if (share > 0 && percent === "0.0") return "under 0.1 %";
  return `${share === 1 ? "100" : share === 0 ? "0" : percent} %`;
}
