import { XMLParser, XMLValidator } from "fast-xml-parser";
import { Refusal } from "../../findings/refusal.js";

/** An element of an XML document: names and attributes without their prefix, text with its blanks at both ends cut off. */
export interface XmlElement {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: readonly XmlElement[];
  readonly text: string;
}

const limits = {
  /** Characters of a document: its data may be in it, two or more characters a byte. */
  characters: 256 * 1024 * 1024,
  tags: 200_000,
  depth: 40,
  /** Characters of one tag with its attributes. */
  tag: 16 * 1024,
};

/**
 * The root of the XML document `text`. No entities but the five of XML itself and character numbers, no document type,
 * nothing from outside.
 * @throws Refusal when it is not well-formed, holds a document type, or is larger or deeper than any container
 */
export function readXml(text: string): XmlElement {
  checkExtent(text);
  const valid = XMLValidator.validate(text);
  if (valid !== true) {
    const { msg, line } = valid.err;
    throw new Refusal("xml/syntax", `line ${line}: expected well-formed XML, got: ${msg}`, { line });
  }
  const [root] = elementsOf(parsed(text));
  if (!root) throw new Refusal("xml/syntax", "document: expected an element, got none");
  return root;
}

/** Walks from tag to tag once, so that nothing that would cost more than its size reaches the parser. */
function checkExtent(text: string): void {
  if (text.length > limits.characters) {
    throw tooLarge(`at most ${limits.characters} characters`, String(text.length), 0);
  }
  let depth = 0;
  let tags = 0;
  for (let at = text.indexOf("<"); at >= 0; at = text.indexOf("<", at)) {
    const end = endOfTag(text, at);
    if (end < 0) throw new Refusal("xml/syntax", "document: expected an end of each tag, got none", { offset: at });
    const plain = /[^!?]/.test(text.charAt(at + 1));
    if (plain) {
      if (++tags > limits.tags) throw tooLarge(`at most ${limits.tags} tags`, "more", at);
      if (end - at > limits.tag) throw tooLarge(`tags of at most ${limits.tag} characters`, String(end - at), at);
      if (text.charAt(at + 1) === "/") depth--;
      else if (text.charAt(end - 2) !== "/") depth++;
      if (depth > limits.depth) throw tooLarge(`at most ${limits.depth} levels`, "more", at);
    }
    at = end;
  }
}

/** One past the end of the tag, comment, data section or instruction at `at`; -1 when it does not end. */
function endOfTag(text: string, at: number): number {
  const kinds = [
    ["<!--", "-->"],
    ["<![CDATA[", "]]>"],
    ["<?", "?>"],
  ] as const;
  for (const [start, end] of kinds) {
    if (!text.startsWith(start, at)) continue;
    const found = text.indexOf(end, at + start.length);
    return found < 0 ? -1 : found + end.length;
  }
  if (text.charAt(at + 1) === "!") {
    throw new Refusal("xml/document-type", "document: expected no document type and no entities, got one", {
      offset: at,
    });
  }
  const found = text.indexOf(">", at);
  return found < 0 ? -1 : found + 1;
}

function tooLarge(expected: string, got: string, offset: number): Refusal {
  return new Refusal("xml/too-large", `document: expected ${expected}, got ${got}`, { offset });
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
    maxNestedTags: limits.depth + 1,
  });
  try {
    return parser.parse(text) as Node[];
  } catch (error) {
    throw new Refusal("xml/syntax", `document: expected well-formed XML, got: ${(error as Error).message}`);
  }
}

function elementsOf(nodes: readonly Node[]): XmlElement[] {
  return nodes.flatMap((node): XmlElement[] => {
    const name = Object.keys(node).find((key) => key !== ATTRIBUTES && key !== TEXT && key !== SECTION);
    if (name === undefined) return [];
    const content = node[name] as readonly Node[];
    const attributes = Object.entries((node[ATTRIBUTES] ?? {}) as Record<string, string>);
    return [
      {
        name,
        attributes: Object.fromEntries(attributes.map(([key, value]) => [key, withCharacters(value)])),
        children: elementsOf(content),
        text: textOf(content).trim(),
      },
    ];
  });
}

function textOf(nodes: readonly Node[]): string {
  const parts = nodes.map((node) => {
    if (TEXT in node) return withCharacters(String(node[TEXT]));
    return SECTION in node ? textOfSection(node[SECTION] as readonly Node[]) : "";
  });
  return parts.join("");
}

/** A data section says everything as it stands. */
function textOfSection(nodes: readonly Node[]): string {
  return nodes.map((node) => String(node[TEXT] ?? "")).join("");
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
