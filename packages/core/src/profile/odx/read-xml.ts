import { XMLParser, XMLValidator } from "fast-xml-parser";
import { Refusal } from "../../findings/refusal.js";
import { XML_DEPTH, type XmlOutline, xmlOutline } from "./xml-outline.js";

/** An element of an XML document: names and attributes without their prefix, text with its blanks at both ends cut off. */
export interface XmlElement {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: readonly XmlElement[];
  readonly text: string;
  /** 1-based line of the document that it begins on. */
  readonly line: number;
}

/**
 * The root of the XML document `text`. No entities but the five of XML itself and character numbers, no document type,
 * nothing from outside.
 * @throws Refusal when it is not well-formed, holds a document type, or is larger or deeper than any container
 */
export function readXml(text: string): XmlElement {
  const outline = xmlOutline(text);
  const valid = XMLValidator.validate(outline.text);
  if (valid !== true) {
    const line = outline.lineOf(valid.err.line);
    throw new Refusal("xml/syntax", `line ${line}: expected well-formed XML, got: ${valid.err.msg}`, { line });
  }
  const [root] = new Tree(outline).elementsOf(parsed(outline.text));
  if (!root) throw new Refusal("xml/syntax", "document: expected an element, got none");
  return root;
}

/** What the parser gives when it keeps the order: one object an element, keyed by its name, or by what it is not. */
type Node = Readonly<Record<string, unknown>>;

const TEXT = "#text";
const SECTION = "#cdata";
const ATTRIBUTES = ":@";

function parsed(text: string): readonly Node[] {
  const parser = new XMLParser({
    preserveOrder: true,
    ignoreAttributes: false,
    attributeNamePrefix: "",
    removeNSPrefix: true,
    parseTagValue: false,
    parseAttributeValue: false,
    trimValues: true,
    processEntities: false,
    ignoreDeclaration: true,
    ignorePiTags: true,
    cdataPropName: SECTION,
    maxNestedTags: XML_DEPTH + 1,
  });
  try {
    return parser.parse(text) as Node[];
  } catch (error) {
    throw new Refusal("xml/syntax", `document: expected well-formed XML, got: ${(error as Error).message}`);
  }
}

/** Makes elements of what the parser gave, in the order in which they open. */
class Tree {
  #opened = 0;

  constructor(readonly outline: XmlOutline) {}

  elementsOf(nodes: readonly Node[]): XmlElement[] {
    return nodes.flatMap((node): XmlElement[] => {
      const name = Object.keys(node).find((key) => key !== ATTRIBUTES && key !== TEXT && key !== SECTION);
      if (name === undefined) return [];
      const line = this.outline.lines[this.#opened++] ?? 1;
      const content = node[name] as readonly Node[];
      const attributes = Object.entries((node[ATTRIBUTES] ?? {}) as Record<string, string>);
      return [
        {
          name,
          attributes: Object.fromEntries(attributes.map(([key, value]) => [key, withCharacters(value)])),
          children: this.elementsOf(content),
          text: this.#textOf(content).trim(),
          line,
        },
      ];
    });
  }

  #textOf(nodes: readonly Node[]): string {
    const parts = nodes.map((node) => {
      if (TEXT in node) return withCharacters(this.outline.whole(String(node[TEXT])));
      // A data section says everything as it stands.
      const section = (node[SECTION] ?? []) as readonly Node[];
      return section.map((part) => this.outline.whole(String(part[TEXT] ?? ""))).join("");
    });
    return parts.join("");
  }
}

const named: Readonly<Record<string, string>> = { amp: "&", lt: "<", gt: ">", quot: '"', apos: "'" };

/** `text` with the five entities of XML and character numbers as the characters that they stand for. */
function withCharacters(text: string): string {
  if (!text.includes("&")) return text;
  return text.replace(
    /&(?:#x([0-9a-fA-F]{1,6})|#([0-9]{1,7})|([A-Za-z][\w.-]{0,31}));/g,
    (whole, hex, decimal, name) => {
      const code = hex ? Number.parseInt(hex, 16) : Number(decimal);
      const character = name === undefined ? (code <= 0x10ffff ? String.fromCodePoint(code) : undefined) : named[name];
      if (character === undefined) {
        throw new Refusal("xml/entity", `document: expected the entities of XML itself, got ${whole}`);
      }
      return character;
    },
  );
}
