import { MEMORY_END, type Span } from "../bytes/span.js";
import { Refusal } from "../findings/refusal.js";
import { type A2lBlock, readA2lBlocks } from "./a2l-blocks.js";
import { behind, countIn, numberIn } from "./a2l-number.js";
import { type Alignments, alignmentsIn } from "./a2l-types.js";
import { type NamedObject, type Nameless, objectOf } from "./object.js";
import { type RecordLayout, readRecordLayout } from "./record-layout.js";

/** A segment of the memory as a description has it. */
export interface DescribedSegment {
  readonly name: string;
  /** CODE, DATA, CALIBRATION_VARIABLES, OFFLINE_DATA, RESERVED ... */
  readonly purpose: string;
  /** FLASH, RAM, EEPROM ... */
  readonly memory: string;
  readonly span: Span;
}

/** What a measurement description (ASAM MCD-2 MC) says of names and places. */
export interface MeasurementDescription {
  readonly project: string | undefined;
  /** The text that marks the software, and where it must stand in the image. */
  readonly identifier: { readonly text: string; readonly addresses: readonly number[] } | undefined;
  readonly order: "little" | "big" | undefined;
  readonly segments: readonly DescribedSegment[];
  /** By their first address. */
  readonly objects: readonly NamedObject[];
  /** What it says and nothing here takes, in words. */
  readonly leftOut: readonly string[];
  /** Files that are to be read in its place and were not given, by their path from its folder. */
  readonly missing: readonly string[];
}

/** The most objects that are kept: several times what the largest control unit has. */
const MOST_OBJECTS = 500_000;

/** Characters of an identifier: the length of a string in the standard. */
const LONGEST_IDENTIFIER = 255;

const wanted = new Set(["MOD_PAR", "MOD_COMMON", "RECORD_LAYOUT", "CHARACTERISTIC", "AXIS_PTS"]);
const parts = new Set(["MEMORY_SEGMENT", "AXIS_DESCR", "VIRTUAL_CHARACTERISTIC"]);
const around = new Set(["PROJECT", "MODULE"]);

/**
 * The names and places in the description `text`, with `files` where it asks for them by their path from its folder. Vendor
 * sections and everything that names no place are passed over.
 * @throws Refusal when its blocks or strings do not hold together, and when files ask for each other without an end
 */
export function readMeasurementDescription(
  text: string,
  files: ReadonlyMap<string, string> = new Map(),
): MeasurementDescription {
  const project = /\/begin\s+PROJECT\s+(\S{1,128})/.exec(text.slice(0, 64 * 1024))?.[1];
  const layouts = new Map<string, RecordLayout>();
  const objects: A2lBlock[] = [];
  const missing = new Set<string>();
  let parameters: A2lBlock | undefined;
  let order: MeasurementDescription["order"];
  let alignments: Alignments = {};
  let further = 0;
  readA2lBlocks(text, {
    wanted,
    parts,
    around,
    include: (path) => {
      const included = files.get(path);
      if (included === undefined) missing.add(path.slice(0, 1024));
      return included;
    },
    take: (block) => {
      if (block.keyword === "MOD_PAR") parameters ??= block;
      else if (block.keyword === "MOD_COMMON") {
        order = orderOf(block);
        alignments = alignmentsIn(block.tokens);
      } else if (block.keyword === "RECORD_LAYOUT") layouts.set(block.tokens[0]?.text ?? "", readRecordLayout(block));
      else if (objects.length < MOST_OBJECTS) objects.push(block);
      else further++;
    },
  });
  if (!/\/(begin|include)/.test(text) && layouts.size + objects.length === 0) {
    throw new Refusal("names/invalid", "expected a measurement description, with /begin in it, got another text");
  }
  const leftOut = [...missing].map((path) => `the file ${path.slice(0, 80)}, which is to be read in its place`);
  if (further > 0) leftOut.push(`${further} objects above ${MOST_OBJECTS}`);
  const named: NamedObject[] = [];
  const nameless: Record<Nameless, A2lBlock[]> = { "no-address": [], virtual: [], "address-extension": [] };
  for (const block of objects) {
    const object = objectOf(block, layouts, alignments);
    if (typeof object === "string") nameless[object].push(block);
    else named.push(object);
  }
  leftOut.push(
    ...linesOf(nameless["no-address"], "whose place is not understood"),
    ...linesOf(nameless["address-extension"], "in an address space of their own (ECU_ADDRESS_EXTENSION)"),
    ...linesOf(nameless.virtual, "that are computed and have no memory"),
  );
  const sizeless = named.filter(({ sized }) => !sized).length;
  if (sizeless > 0) leftOut.push(`the size of ${sizeless} objects: their first byte is named`);
  const offset = numberIn(parameters && behind(parameters.tokens, "ECU_CALIBRATION_OFFSET", 1)?.[0]);
  if (offset) leftOut.push(`ECU_CALIBRATION_OFFSET ${offset}: addresses are taken as they are written`);
  return {
    project,
    identifier: parameters && identifierOf(parameters),
    order,
    segments: (parameters?.blocks ?? []).flatMap(segmentOf),
    objects: named.sort((a, b) => a.span.start - b.span.start || b.span.end - a.span.end),
    leftOut,
    missing: [...missing],
  };
}

function linesOf(blocks: readonly A2lBlock[], what: string): string[] {
  const [first] = blocks;
  return first ? [`${blocks.length} objects ${what}, the first in line ${first.line}`] : [];
}

/** The image's identifier (EPK) and every address (ADDR_EPK) where it must be found. */
function identifierOf({ tokens }: A2lBlock): MeasurementDescription["identifier"] {
  const text = behind(tokens, "EPK", 1)?.[0];
  const addresses = tokens.flatMap(({ kind, text: word }, i) => {
    const address = kind === "word" && word === "ADDR_EPK" ? countIn(tokens[i + 1], MEMORY_END - 1) : undefined;
    return address === undefined ? [] : [address];
  });
  if (text?.kind !== "string" || text.text === "" || text.text.length > LONGEST_IDENTIFIER) return undefined;
  return { text: text.text, addresses };
}

/** MSB_LAST is little-endian. LITTLE_ENDIAN and BIG_ENDIAN were used either way round in old files: not taken. */
function orderOf({ tokens }: A2lBlock): MeasurementDescription["order"] {
  const word = behind(tokens, "BYTE_ORDER", 1)?.[0]?.text;
  return word === "MSB_LAST" ? "little" : word === "MSB_FIRST" ? "big" : undefined;
}

/** Name, description, purpose, memory, attribute, address, size, and five offsets. */
function segmentOf({ keyword, tokens }: A2lBlock): DescribedSegment[] {
  const [name, , purpose, memory, , address, size] = tokens;
  const start = countIn(address, MEMORY_END);
  const length = countIn(size, MEMORY_END);
  if (keyword !== "MEMORY_SEGMENT" || !name || !purpose || !memory) return [];
  if (start === undefined || length === undefined || start + length > MEMORY_END) return [];
  return [{ name: name.text, purpose: purpose.text, memory: memory.text, span: { start, end: start + length } }];
}
