const introducer = String.fromCharCode(0x1b);

/** The sequences that this program colours with: select graphic rendition, ECMA-48 8.3.117. */
export const ownColour = new RegExp(`${introducer}\\[\\d+(;\\d+)*m`, "g");

/** `text` as somebody sees it who sees no colours. */
export function withoutColour(text: string): string {
  return text.replace(ownColour, "");
}
