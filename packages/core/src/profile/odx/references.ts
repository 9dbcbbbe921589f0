import { odxRefusal } from "./element.js";
import type { XmlElement } from "./read-xml.js";

/** Finds elements by their ID inside the document. */
export class References {
  readonly #byId: ReadonlyMap<string, XmlElement>;

  /**
   * Of the document whose root is `root`.
   * @throws Refusal when an ID is there twice
   */
  constructor(root: XmlElement) {
    this.#byId = identified(root);
  }

  /**
   * The element `kind` that the reference `from` names.
   * @throws Refusal when it is not there, of another kind, or in another document
   */
  follow(from: XmlElement, kind: string): XmlElement {
    const { "ID-REF": id, DOCREF: document } = from.attributes;
    const target = id === undefined ? undefined : this.#byId.get(id);
    if (target?.name === kind) return target;
    const got = document === undefined ? (id ?? "none") : `${id} in the document ${document}`;
    throw odxRefusal(from, `expected the ID of a ${kind} in this document, got ${got}`);
  }
}

function identified(root: XmlElement): Map<string, XmlElement> {
  const found = new Map<string, XmlElement>();
  const visit = (element: XmlElement): void => {
    const { ID: id } = element.attributes;
    if (id !== undefined) {
      if (found.has(id)) throw odxRefusal(element, `ID: expected each once, got ${id} again`);
      found.set(id, element);
    }
    for (const child of element.children) visit(child);
  };
  visit(root);
  return found;
}
