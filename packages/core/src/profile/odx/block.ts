import type { Span } from "../../bytes/span.js";
import { isPathInside } from "../../bytes/text.js";
import { MEMORY_LIMIT } from "../schema/profile.js";
import { addressIn, childOf, countIn, extentFrom, listed, odxRefusal, shortName, textIn } from "./element.js";
import type { XmlElement } from "./read-xml.js";
import type { References } from "./references.js";
import { type FlashIdent, isPlain, odxValue } from "./values.js";

/** A run of source addresses that a block fills. */
export interface FlashSegment {
  readonly name: string;
  readonly span: Span;
  /** Whether its bytes are as they are written: neither encrypted nor compressed. */
  readonly plain: boolean;
}

/** The data of a block: in the document, or in a file beside it. */
export interface FlashData {
  readonly name: string;
  /** INTEL-HEX, MOTOROLA-S, BINARY, or what USER-DEFINED calls it. */
  readonly format: string;
  readonly plain: boolean;
  /** The text of the data, or the name of the file that holds them. */
  readonly inside: string | undefined;
  readonly file: string | undefined;
  /** Whether the file may come later than the container. */
  readonly late: boolean;
}

/** A piece of software as a container carries it. */
export interface FlashBlock {
  readonly name: string;
  readonly title: string | undefined;
  /** What the document calls its kind: CODE, DATA, BOOT ... */
  readonly type: string;
  readonly data: FlashData | undefined;
  readonly segments: readonly FlashSegment[];
  /** Only what lies in one of these is used; everything when there are none. */
  readonly filters: readonly Span[];
  /** What is added to a source address to get the address in the unit. */
  readonly offset: number;
  readonly own: readonly FlashIdent[];
  readonly securities: number;
}

/** More blocks than any session names. */
const blocksOfSession = 1000;

/** The blocks of a document, each and its data read once however many sessions name it. */
export class Blocks {
  readonly #blocks = new Map<XmlElement, FlashBlock>();
  readonly #data = new Map<XmlElement, FlashData>();

  constructor(readonly references: References) {}

  /**
   * The blocks that the element SESSION names, each once.
   * @throws Refusal when one of them is not there, or there are more than 1000
   */
  of(session: XmlElement): readonly FlashBlock[] {
    const named = listed(session, "DATABLOCK-REFS", "DATABLOCK-REF");
    if (named.length > blocksOfSession) {
      throw odxRefusal(session, `expected at most ${blocksOfSession} blocks, got ${named.length}`);
    }
    const elements = new Set(named.map((reference) => this.references.follow(reference, "DATABLOCK")));
    return [...elements].map((element) => once(this.#blocks, element, () => this.#read(element)));
  }

  #read(element: XmlElement): FlashBlock {
    const reference = childOf(element, "FLASHDATA-REF");
    const data = reference && this.references.follow(reference, "FLASHDATA");
    return {
      name: shortName(element),
      title: textIn(element, "LONG-NAME"),
      type: element.attributes.TYPE ?? "",
      data: data && once(this.#data, data, () => readData(data)),
      segments: listed(element, "SEGMENTS", "SEGMENT").map(readSegment),
      filters: listed(element, "FILTERS", "FILTER").map(readFilter),
      offset: offsetOf(childOf(element, "TARGET-ADDR-OFFSET")),
      own: listed(element, "OWN-IDENTS", "OWN-IDENT").map((ident) => ({
        name: shortName(ident),
        values: ident.children.filter(({ name }) => name === "IDENT-VALUE").map(odxValue),
      })),
      securities: listed(element, "SECURITYS", "SECURITY").length,
    };
  }
}

function once<Key, Value>(known: Map<Key, Value>, key: Key, make: () => Value): Value {
  const value = known.get(key) ?? make();
  known.set(key, value);
  return value;
}

function readData(element: XmlElement): FlashData {
  const { SELECTION: selection = "", "USER-SELECTION": own } = childOf(element, "DATAFORMAT")?.attributes ?? {};
  const file = childOf(element, "DATAFILE");
  return {
    name: shortName(element),
    format: selection === "USER-DEFINED" ? `USER-DEFINED ${own ?? ""}`.trim() : selection,
    plain: isPlain(childOf(element, "ENCRYPT-COMPRESS-METHOD")),
    inside: childOf(element, "DATA")?.text,
    file: file && checkedFile(file),
    late: file?.attributes["LATEBOUND-DATAFILE"] === "true",
  };
}

/** The name of a file inside the folder of the container, whatever system reads it. */
function checkedFile(element: XmlElement): string {
  const { text } = element;
  if (isPathInside(text)) return text;
  throw odxRefusal(
    element,
    `expected the name of a file in the container's folder, got ${JSON.stringify(text.slice(0, 80))}`,
  );
}

function readSegment(element: XmlElement): FlashSegment {
  const start = addressIn(element, "SOURCE-START-ADDRESS") ?? 0;
  const length = extentFrom(element, start);
  if (length > MEMORY_LIMIT) throw odxRefusal(element, `expected at most ${MEMORY_LIMIT} bytes, got ${length}`);
  const packed = countIn(element, "COMPRESSED-SIZE");
  return {
    name: shortName(element),
    span: { start, end: start + length },
    plain: isPlain(childOf(element, "ENCRYPT-COMPRESS-METHOD")) && (packed === undefined || packed === length),
  };
}

function readFilter(element: XmlElement): Span {
  const start = addressIn(element, "FILTER-START") ?? 0;
  const last = addressIn(element, "FILTER-END");
  const size = countIn(element, "FILTER-SIZE");
  const end = size === undefined ? (last ?? start - 1) + 1 : start + size;
  if (end >= start && end <= 2 ** 32) return { start, end };
  throw odxRefusal(element, `expected an end behind its start, got 0x${start.toString(16)} to 0x${end.toString(16)}`);
}

function offsetOf(element: XmlElement | undefined): number {
  if (!element) return 0;
  const up = addressIn(element, "POSITIVE-OFFSET");
  return up ?? -(addressIn(element, "NEGATIVE-OFFSET") ?? 0);
}
