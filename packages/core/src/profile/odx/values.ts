import { odxRefusal } from "./element.js";
import type { XmlElement } from "./read-xml.js";

/** A value as a container states it: its type, and the text of its canonical form. */
export interface OdxValue {
  readonly type: "A_ASCIISTRING" | "A_UINT32" | "A_BYTEFIELD";
  /** Characters as they are; a number in decimal digits; bytes as lower-case hex. */
  readonly text: string;
}

/**
 * The value of an element with a TYPE; one without is text.
 * @throws Refusal when its text is none of that type
 */
export function odxValue(element: XmlElement): OdxValue {
  const { text, attributes } = element;
  const type = attributes.TYPE ?? "A_ASCIISTRING";
  switch (type) {
    case "A_ASCIISTRING":
      return { type, text };
    case "A_UINT32":
      if (/^(0[xX][0-9a-fA-F]{1,8}|[0-9]{1,10})$/.test(text) && Number(text) < 2 ** 32) {
        return { type, text: String(Number(text)) };
      }
      break;
    case "A_BYTEFIELD":
      if (text.length % 2 === 0 && /^[0-9a-fA-F]*$/.test(text)) return { type, text: text.toLowerCase() };
      break;
    default:
      throw odxRefusal(element, `TYPE: expected A_ASCIISTRING, A_UINT32 or A_BYTEFIELD, got ${type}`);
  }
  const wanted = type === "A_UINT32" ? "a number of 32 bits" : "pairs of hexadecimal digits";
  throw odxRefusal(element, `expected ${wanted}, got ${JSON.stringify(text.slice(0, 24))}`);
}

/** The value as hex of its number or bytes; undefined for text. */
export function hexOf({ type, text }: OdxValue): string | undefined {
  if (type === "A_BYTEFIELD") return text === "" ? undefined : text;
  if (type === "A_ASCIISTRING") return undefined;
  const digits = Number(text).toString(16);
  return digits.padStart(digits.length + (digits.length % 2), "0");
}

/** Whether a method of encryption or compression stands for none: absent, empty, or all zeros. */
export function isPlain(method: XmlElement | undefined): boolean {
  return method === undefined || /^(0[xX])?0*$/.test(method.text);
}

/** What a container says of an identification: its name, and the values of which any one may match. */
export interface FlashIdent {
  readonly name: string;
  readonly values: readonly OdxValue[];
}
