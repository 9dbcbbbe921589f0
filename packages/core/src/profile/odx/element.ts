import { MEMORY_END } from "../../bytes/span.js";
import { Refusal } from "../../findings/refusal.js";
import type { XmlElement } from "./read-xml.js";

/** The first child of that name, or undefined. */
export function childOf(element: XmlElement | undefined, name: string): XmlElement | undefined {
  return element?.children.find((child) => child.name === name);
}

/** The elements `item` inside the list `list` of an element; none when the list is not there. */
export function listed(element: XmlElement | undefined, list: string, item: string): readonly XmlElement[] {
  return childOf(element, list)?.children.filter(({ name }) => name === item) ?? [];
}

/** The text of the child of that name, or undefined when it is not there or empty. */
export function textIn(element: XmlElement | undefined, name: string): string | undefined {
  const text = childOf(element, name)?.text;
  return text === "" ? undefined : text;
}

/** What an element is called in its document. */
export function shortName(element: XmlElement): string {
  return textIn(element, "SHORT-NAME") ?? element.attributes.ID ?? element.name;
}

/** Where an element stands, for messages: its kind and its name. */
export function placeOf(element: XmlElement): string {
  const name = shortName(element);
  return name === element.name ? name : `${element.name} ${name}`;
}

/**
 * The address that the child of that name states in hexadecimal digits without 0x (xsd:hexBinary; empty is 0), or
 * undefined when there is none.
 * @throws Refusal when it is no such number, or lies above 2**32
 */
export function addressIn(element: XmlElement, name: string): number | undefined {
  const child = childOf(element, name);
  if (!child) return undefined;
  return checked(element, name, child.text, /^[0-9A-Fa-f]{0,16}$/, (text) => Number.parseInt(text || "0", 16));
}

/**
 * The number that the child of that name states in decimal digits, or undefined when there is none.
 * @throws Refusal when it is no such number, or more than 2**32
 */
export function countIn(element: XmlElement, name: string): number | undefined {
  const child = childOf(element, name);
  return child && checked(element, name, child.text, /^[0-9]{1,16}$/, Number);
}

function checked(
  element: XmlElement,
  name: string,
  text: string,
  form: RegExp,
  numberIn: (text: string) => number,
): number {
  const value = form.test(text) ? numberIn(text) : Number.NaN;
  if (value >= 0 && value <= MEMORY_END) return value;
  const shown = text.length > 24 ? `${text.slice(0, 24)}...` : text;
  throw odxRefusal(element, `${name}: expected a number from 0 to 2**32, got ${JSON.stringify(shown)}`);
}

/** The refusal of a container for what stands in `element`. */
export function odxRefusal(element: XmlElement, message: string): Refusal {
  const place = placeOf(element);
  return new Refusal("container/invalid", `${place}: ${message}`, { path: place, line: element.line });
}

/**
 * The bytes of a range that an element states from `start` on: up to an end address, which is its last (from memory, not
 * confirmed), or by a size.
 * @throws Refusal when it states neither, or the end lies before the start
 */
export function extentFrom(element: XmlElement, start: number): number {
  const last = addressIn(element, "SOURCE-END-ADDRESS") ?? addressIn(element, "END-ADDRESS");
  const size = countIn(element, "UNCOMPRESSED-SIZE") ?? countIn(element, "SIZE");
  const length = size ?? (last === undefined ? undefined : last - start + 1);
  if (length === undefined) throw odxRefusal(element, "expected an end address or a size, got neither");
  if (length < 0) throw odxRefusal(element, `expected an end at or behind its start, got one ${-length} bytes before`);
  if (start + length > 2 ** 32) {
    throw odxRefusal(
      element,
      `expected a range that ends below 2**32, got ${length} bytes from 0x${start.toString(16)}`,
    );
  }
  return length;
}
