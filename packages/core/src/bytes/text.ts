/** Text out of bytes, and text made safe to show. */

/** Whether a byte is a visible ASCII character or a blank. */
export function isPrintable(byte: number): boolean {
  return byte >= 0x20 && byte <= 0x7e;
}

/** One character a byte (code points 0 to 255), unchecked: `showText` before it is shown to anybody. */
export function latin1(bytes: Uint8Array): string {
  let text = "";
  for (const byte of bytes) text += String.fromCharCode(byte);
  return text;
}

/** The bytes of `text`, one a character, or undefined when a character lies above U+00FF. */
export function fromLatin1(text: string): Uint8Array | undefined {
  const bytes = new Uint8Array(text.length);
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code > 0xff) return undefined;
    bytes[i] = code;
  }
  return bytes;
}

/**
 * `text` with everything that is not plainly visible written as an escape: control characters, separators, marks
 * that reverse or join, lone surrogates, and the backslash itself. What comes back is one line and moves no cursor.
 */
export function showText(text: string): string {
  let shown = "";
  for (const character of text) {
    const code = character.codePointAt(0) as number;
    if (character === "\\") shown += "\\\\";
    else if (/^[\p{L}\p{N}\p{P}\p{S} ]$/u.test(character)) shown += character;
    else if (code <= 0xff) shown += `\\x${code.toString(16).padStart(2, "0")}`;
    else shown += `\\u{${code.toString(16)}}`;
  }
  return shown;
}

/** What the first byte of a character carries besides its bits, by the number of bytes that follow it. */
const leads = [0, 0xc0, 0xe0, 0xf0];

/** The bytes of `text` in UTF-8 (RFC 3629). A surrogate that stands alone has none there and gives those of U+FFFD. */
export function toUtf8(text: string): Uint8Array {
  const bytes = new Uint8Array(3 * text.length);
  let length = 0;
  for (const character of text) {
    const found = character.codePointAt(0) as number;
    const code = found >= 0xd800 && found <= 0xdfff ? 0xfffd : found;
    const more = code < 0x80 ? 0 : code < 0x800 ? 1 : code < 0x10000 ? 2 : 3;
    bytes[length++] = (leads[more] as number) | (code >> (6 * more));
    for (let i = more - 1; i >= 0; i--) bytes[length++] = 0x80 | ((code >> (6 * i)) & 0x3f);
  }
  return bytes.slice(0, length);
}

/** Whether a path, its parts between slashes, stays inside the folder that it counts from, whatever system reads it. */
export function isPathInside(path: string): boolean {
  return /^[^\\:\0]{1,255}$/.test(path) && path.split("/").every((part) => !["", ".", ".."].includes(part));
}
