import { normalised, type Span } from "../../bytes/span.js";
import { Refusal } from "../../findings/refusal.js";
import { Blocks, type FlashBlock } from "./block.js";
import { addressIn, childOf, extentFrom, listed, odxRefusal, shortName, textIn } from "./element.js";
import { type UnknownElement, unknownElements } from "./known-elements.js";
import { readXml, type XmlElement } from "./read-xml.js";
import { References } from "./references.js";
import { type FlashIdent, type OdxValue, odxValue } from "./values.js";

/** A value over a range of source addresses. */
export interface FlashChecksum {
  readonly name: string;
  readonly algorithm: string | undefined;
  readonly start: number;
  readonly length: number;
  /** What stands where there are no data; data are needed everywhere when it is left out. */
  readonly fill: number | undefined;
  readonly result: OdxValue;
}

/** What a container names for its protection. It is named and never carried out. */
export interface FlashSecurity {
  readonly method: string | undefined;
  readonly validFor: string | undefined;
  /** The names of the elements that carry a value: FW-SIGNATURE, FW-CHECKSUM. */
  readonly carries: readonly string[];
}

/** A part of the unit's memory. */
export interface PhysicalSegment {
  readonly name: string;
  readonly start: number;
  readonly length: number;
  readonly fill: number | undefined;
}

/** What is written in one go: blocks, what they are checked by, and what the unit must say of itself before. */
export interface FlashSession {
  readonly id: string | undefined;
  readonly name: string;
  readonly title: string | undefined;
  readonly partNumber: string | undefined;
  readonly blocks: readonly FlashBlock[];
  readonly checksums: readonly FlashChecksum[];
  readonly expected: readonly FlashIdent[];
  readonly securities: readonly FlashSecurity[];
  readonly memory: readonly PhysicalSegment[];
  /** What the document says of it and nothing here carries. */
  readonly leftOut: readonly string[];
  /** Elements of the document that are not known where they stand: what they say is not known either. */
  readonly unknown: readonly UnknownElement[];
}

/** A flash container of ISO 22901-1 (ODX-F), without the data that lie beside it. */
export interface FlashContainer {
  readonly name: string;
  readonly title: string | undefined;
  readonly version: string | undefined;
  readonly sessions: readonly FlashSession[];
}

/**
 * The flash container in the XML document `text`. Element names and order: ISO 22901-1, MODEL-VERSION 2.2.0, as a general
 * open library reads them.
 * @throws Refusal when it is no such document, or a value, a name or a reference in it cannot be
 */
export function readFlashContainer(text: string): FlashContainer {
  const root = readXml(text);
  const flash = childOf(root, "FLASH");
  if (root.name !== "ODX" || !flash) {
    throw new Refusal("container/not-flash", `document: expected ODX with FLASH in it, got ${root.name}`);
  }
  const blocks = new Blocks(new References(root));
  const memories = listed(flash, "ECU-MEMS", "ECU-MEM");
  const described = listed(flash, "ECU-MEM-CONNECTORS", "ECU-MEM-CONNECTOR");
  const unknown = unknownElements(flash);
  const sessions = memories.flatMap((memory) =>
    listed(childOf(memory, "MEM"), "SESSIONS", "SESSION").map((session) => ({
      ...readSession(session, memory, described, blocks),
      unknown,
    })),
  );
  if (sessions.length === 0) throw odxRefusal(flash, "expected at least one session, got none");
  const { "MODEL-VERSION": version } = root.attributes;
  return { name: shortName(flash), title: textIn(flash, "LONG-NAME"), version, sessions };
}

/**
 * The session that `wanted` names by its short name or its ID; the only one when nobody names one.
 * @throws Refusal when there is none of that name, or several and nobody names one
 */
export function sessionOf({ sessions }: FlashContainer, wanted: string | undefined): FlashSession {
  const several = new Set(sessions.map(({ name }) => name)).size < sessions.length;
  const names = sessions.map(({ id, name }) => (several && id !== undefined ? `${name} (${id})` : name)).slice(0, 20);
  const found = wanted === undefined ? sessions : sessions.filter(({ id, name }) => name === wanted || id === wanted);
  const [session, ...others] = found;
  if (session && others.length === 0) return session;
  const got = wanted ?? "none: name one of those listed";
  throw new Refusal("container/session-unknown", `session: expected one of ${names.join(", ")}, got ${got}`);
}

/** The physical memory that a session writes into, sorted and disjoint; none when the container describes none. */
export function memorySpans({ memory }: Pick<FlashSession, "memory">): readonly Span[] {
  return normalised(memory.map(({ start, length }) => ({ start, end: start + length })));
}

function readSession(
  session: XmlElement,
  memory: XmlElement,
  connectors: readonly XmlElement[],
  blocks: Blocks,
): Omit<FlashSession, "unknown"> {
  const name = shortName(session);
  const described = connectors
    .flatMap((connector) => connector.children)
    .flatMap((list) => list.children)
    .flatMap((entry) => (entry.name === "SESSION-DESC" ? [entry] : listed(entry, "SESSION-DESCS", "SESSION-DESC")))
    .find((entry) => childOf(entry, "SESSION-SNREF")?.attributes["SHORT-NAME"] === name);
  return {
    id: session.attributes.ID,
    name,
    title: textIn(session, "LONG-NAME"),
    partNumber: textIn(described, "PARTNUMBER"),
    blocks: blocks.of(session),
    checksums: listed(session, "CHECKSUMS", "CHECKSUM").map(readChecksum),
    expected: listed(session, "EXPECTED-IDENTS", "EXPECTED-IDENT").map((ident) => ({
      name: shortName(ident),
      values: listed(ident, "IDENT-VALUES", "IDENT-VALUE").map(odxValue),
    })),
    securities: listed(session, "SECURITYS", "SECURITY").map(readSecurity),
    memory: listed(childOf(memory, "PHYS-MEM"), "PHYS-SEGMENTS", "PHYS-SEGMENT").map(readPhysical),
    leftOut: leftOutOf(session, connectors, described),
  };
}

/** What is there by its name and carried nowhere: special data, audiences, how a tester asks. */
function leftOutOf(
  session: XmlElement,
  connectors: readonly XmlElement[],
  described: XmlElement | undefined,
): string[] {
  const asked = connectors.flatMap((connector) => listed(connector, "IDENT-DESCS", "IDENT-DESC"));
  return [
    ...(childOf(session, "SDGS") ? ["special data groups of the session"] : []),
    ...(childOf(described, "AUDIENCE") ? ["the audience that the session is for"] : []),
    ...(childOf(described, "DIAG-COMM-SNREF") ? ["the diagnostic job that carries the session out"] : []),
    ...(asked.length > 0 ? [`how a tester asks for ${asked.length} identifications`] : []),
  ];
}

function readChecksum(element: XmlElement): FlashChecksum {
  const start = addressIn(element, "SOURCE-START-ADDRESS");
  const result = childOf(element, "CHECKSUM-RESULT");
  if (start === undefined || !result) {
    throw odxRefusal(element, "expected SOURCE-START-ADDRESS and CHECKSUM-RESULT, got one of them or none");
  }
  return {
    name: shortName(element),
    algorithm: textIn(element, "CHECKSUM-ALG"),
    start,
    length: extentFrom(element, start),
    fill: fillIn(element),
    result: odxValue(result),
  };
}

function fillIn(element: XmlElement): number | undefined {
  const fill = addressIn(element, "FILLBYTE");
  if (fill !== undefined && fill > 0xff) throw odxRefusal(element, `FILLBYTE: expected a byte, got ${fill}`);
  return fill;
}

function readPhysical(element: XmlElement): PhysicalSegment {
  const start = addressIn(element, "START-ADDRESS") ?? 0;
  return { name: shortName(element), start, length: extentFrom(element, start), fill: fillIn(element) };
}

function readSecurity(element: XmlElement): FlashSecurity {
  return {
    method: textIn(element, "SECURITY-METHOD"),
    validFor: textIn(element, "VALIDITY-FOR"),
    carries: ["FW-SIGNATURE", "FW-CHECKSUM"].filter((name) => textIn(element, name) !== undefined),
  };
}
