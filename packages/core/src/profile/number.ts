/**
 * How the numbers that people give to parts, software and machines are told apart. Conservative: what groups the
 * characters for the eye does not count, a letter or a digit more, less or other does, and so does every leading zero.
 */

/** Blanks, dots and hyphens: hardware labels and testers group the same number differently. Common practice, no source. */
const grouping = /[\s.\u002D\u2010-\u2013]/g;

/** `number` as it is compared: without padding, blanks, dots and hyphens, in capitals. Empty when it holds no value. */
export function comparableNumber(number: string): string {
  return inCapitals(unpadded(number).replace(grouping, ""));
}

/**
 * `word` as it is compared: in capitals, without padding, and runs of blanks as one. For versions, sides and the names of
 * builds, where a dot or a hyphen makes another value: 1.12 is not 11.2.
 */
export function comparableWord(word: string): string {
  return inCapitals(unpadded(word).replace(/\s+/g, " "));
}

/** Whether both are the same number, and are numbers at all. Dots that both have count: 1.12 is not 11.2. */
export function sameNumber(a: string, b: string): boolean {
  const own = comparableNumber(a);
  if (own === "" || own !== comparableNumber(b)) return false;
  const [mine, its] = [dotsIn(a), dotsIn(b)];
  return mine === "" || its === "" || mine === its;
}

/** Whether both are the same word. */
export function sameWord(a: string, b: string): boolean {
  return comparableWord(a) === comparableWord(b);
}

/** Behind how many of the characters that count each dot stands. */
function dotsIn(number: string): string {
  const parts = unpadded(number).split(".");
  let before = 0;
  return parts
    .slice(0, -1)
    .map((part) => (before += comparableNumber(part).length))
    .join();
}

/** ASCII letters only: other alphabets have letters whose capitals are those of another letter. */
function inCapitals(text: string): string {
  return text.replace(/[a-z]/g, (letter) => letter.toUpperCase());
}

/** Without what fills the place of a shorter value at either end: the characters 00 and FF, and blanks. */
function unpadded(text: string): string {
  const fills = (at: number) => /[\s\u00FF]/.test(text.charAt(at)) || text.charCodeAt(at) === 0;
  let start = 0;
  let end = text.length;
  while (start < end && fills(start)) start++;
  while (end > start && fills(end - 1)) end--;
  return text.slice(start, end);
}
