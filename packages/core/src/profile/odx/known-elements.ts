import { placeOf } from "./element.js";
import type { XmlElement } from "./read-xml.js";

/** What every element with a name of its own may hold besides. */
const common = ["SHORT-NAME", "LONG-NAME", "DESC", "ADMIN-DATA", "SDGS"];

/**
 * What may stand in the elements that are read (ISO 22901-1, MODEL-VERSION 2.2.0; from memory). What stands in others is
 * not looked into.
 */
const children: Readonly<Record<string, readonly string[]>> = {
  FLASH: [...common, "COMPANY-DATAS", "ECU-MEMS", "ECU-MEM-CONNECTORS", "ADDITIONAL-AUDIENCES"],
  "ECU-MEMS": ["ECU-MEM"],
  "ECU-MEM": [...common, "MEM", "PHYS-MEM"],
  MEM: ["SESSIONS", "DATABLOCKS", "FLASHDATAS"],
  SESSIONS: ["SESSION"],
  SESSION: [...common, "EXPECTED-IDENTS", "CHECKSUMS", "SECURITYS", "DATABLOCK-REFS"],
  "EXPECTED-IDENTS": ["EXPECTED-IDENT"],
  "EXPECTED-IDENT": [...common, "IDENT-VALUES"],
  "IDENT-VALUES": ["IDENT-VALUE"],
  CHECKSUMS: ["CHECKSUM"],
  CHECKSUM: [
    ...common,
    "FILLBYTE",
    "SOURCE-START-ADDRESS",
    "COMPRESSED-SIZE",
    "CHECKSUM-ALG",
    "SOURCE-END-ADDRESS",
    "UNCOMPRESSED-SIZE",
    "CHECKSUM-RESULT",
  ],
  SECURITYS: ["SECURITY"],
  SECURITY: ["SECURITY-METHOD", "FW-SIGNATURE", "FW-CHECKSUM", "VALIDITY-FOR"],
  "DATABLOCK-REFS": ["DATABLOCK-REF"],
  DATABLOCKS: ["DATABLOCK"],
  DATABLOCK: [
    ...common,
    "LOGICAL-BLOCK-INDEX",
    "FLASHDATA-REF",
    "FILTERS",
    "SEGMENTS",
    "TARGET-ADDR-OFFSET",
    "OWN-IDENTS",
    "SECURITYS",
    "AUDIENCE",
  ],
  FILTERS: ["FILTER"],
  FILTER: ["FILTER-START", "FILTER-END", "FILTER-SIZE"],
  SEGMENTS: ["SEGMENT"],
  SEGMENT: [
    ...common,
    "SOURCE-START-ADDRESS",
    "COMPRESSED-SIZE",
    "UNCOMPRESSED-SIZE",
    "SOURCE-END-ADDRESS",
    "ENCRYPT-COMPRESS-METHOD",
  ],
  "TARGET-ADDR-OFFSET": ["POSITIVE-OFFSET", "NEGATIVE-OFFSET"],
  "OWN-IDENTS": ["OWN-IDENT"],
  "OWN-IDENT": [...common, "IDENT-VALUE"],
  FLASHDATAS: ["FLASHDATA"],
  FLASHDATA: [...common, "SIZE-LENGTH", "ADDRESS-LENGTH", "DATAFORMAT", "ENCRYPT-COMPRESS-METHOD", "DATA", "DATAFILE"],
  "PHYS-MEM": [...common, "PHYS-SEGMENTS"],
  "PHYS-SEGMENTS": ["PHYS-SEGMENT"],
  "PHYS-SEGMENT": [...common, "FILLBYTE", "BLOCK-SIZE", "START-ADDRESS", "END-ADDRESS", "SIZE"],
};

/** An element that stands where none of its name is known: a bit of the document changed, or a model of another version. */
export interface UnknownElement {
  readonly name: string;
  readonly inside: string;
  /** 1-based. */
  readonly line: number;
}

/** The elements in `flash` whose name is not known where they stand, and text where there is none, in the order of the document. */
export function unknownElements(flash: XmlElement): readonly UnknownElement[] {
  const known = Object.hasOwn(children, flash.name) ? children[flash.name] : undefined;
  if (!known) return [];
  const { text, line } = flash;
  return [
    // An element whose first character was changed is text.
    ...(text === "" ? [] : [{ name: `the text ${JSON.stringify(text.slice(0, 24))}`, inside: placeOf(flash), line }]),
    ...flash.children.flatMap((child) =>
      known.includes(child.name)
        ? unknownElements(child)
        : [{ name: child.name, inside: placeOf(flash), line: child.line }],
    ),
  ];
}
