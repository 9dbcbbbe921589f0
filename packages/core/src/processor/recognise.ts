import type { ByteOrder } from "../bytes/word.js";
import type { Image } from "../image/image.js";
import { bodyOf } from "../soundness/body.js";
import { type Encodings, encodings } from "./encodings.js";
import { type ProcessorFamily, processorFamilies } from "./family.js";
import { instructionsIn, kindCount, kindsOf } from "./instruction-census.js";
import { keepsTo } from "./start-check.js";
import { type StartFact, startFacts } from "./start-facts.js";

/** Which family of processors an image is for, as far as it shows. */
export interface Processor {
  /** Undefined when it cannot be told. */
  readonly family: ProcessorFamily | undefined;
  /** What the family is called, with the instruction set where it has several; undefined likewise. */
  readonly name: string | undefined;
  /** Of words in memory, where the family has two or the image shows it. */
  readonly order: ByteOrder | undefined;
  /**
   * `certain`: the start and the instructions say so, or most blocks of an image do. `likely`: one of them says so and
   * nothing speaks against it. `unknown`: anything else. How often each is right is measured in docs/processor.md.
   */
  readonly certainty: "certain" | "likely" | "unknown";
  /** What speaks for it, or why it cannot be told; sentences without a full stop. */
  readonly because: readonly string[];
}

/** What an image shows of instructions. */
interface InstructionVote {
  /** Rows of `encodings`, each with the blocks that look like it. */
  readonly blocks: ReadonlyMap<number, number>;
  /** Blocks that hold something to look at. */
  readonly looked: number;
}

const block = 2048;
/** Blocks that are looked at, spread evenly over the image. */
const mostBlocks = 256;
/** Content that a block must hold. */
const leastContent = 256;
/** A block looks like a family when it holds so many of its instructions, */
const leastHits = 6;
/** of so many different kinds (a value that repeats itself is no code), */
const leastKinds = 3;
/** so much of what is usual, */
const usualShare = 0.25;
/** and, held against what is usual, so many times as many as of any other family. */
const lead = 4;

/**
 * Which family of processors `image` is for: what is published about the first and last bytes of its memory, and the
 * instructions in it. At most 512 KiB are looked at, whatever the size.
 */
export function recogniseProcessor(image: Image): Processor {
  const body = bodyOf(image, 0xff);
  if (!body) return unknown(["nothing is known of the memory"]);
  const facts = startFacts.filter((fact) => keepsTo(fact, body.bytes));
  return judged(facts, voteOf(body.bytes, body.address));
}

function judged(facts: readonly StartFact[], { blocks, looked }: InstructionVote): Processor {
  const shares = new Map<ProcessorFamily, number>();
  for (const [row, count] of blocks) {
    const { family } = encodings[row] as Encodings;
    shares.set(family, (shares.get(family) ?? 0) + count);
  }
  const [most] = [...shares].sort((a, b) => b[1] - a[1]);
  const [fact] = facts;
  if (facts.some(({ family }) => family !== fact?.family)) {
    return unknown(["what is told by the start fits several families", ...facts.map(({ says }) => says)]);
  }
  if (fact && most && fact.family !== most[0] && isEnough(most[1], looked)) {
    return unknown([fact.says, `but ${most[1]} of ${looked} blocks look like code of ${processorFamilies[most[0]]}`]);
  }
  const all = [...blocks.values()].reduce((sum, one) => sum + one, 0);
  const own = most && most[1] >= agreed * all && (fact ? fact.family === most[0] : isEnough(most[1], looked));
  const voted = own ? most : undefined;
  const family = fact?.family ?? voted?.[0];
  if (!family) return unknown([why(shares)]);
  const row = rowOf(blocks, family);
  return {
    family,
    name: row?.set === undefined ? processorFamilies[family] : `${processorFamilies[family]}, ${row.set}`,
    order: row?.order ?? fact?.order,
    certainty: voted && (fact || (voted[1] >= manyBlocks && voted[1] >= mostOf * looked)) ? "certain" : "likely",
    because: [
      ...new Set(facts.map(({ says }) => says)),
      ...(voted ? [`${voted[1]} of ${looked} blocks of ${block / 1024} KiB look like its code`] : []),
    ],
  };
}

/** Of the blocks that look like instructions of a family, so many must be of one. */
const agreed = 0.9;
/** So many blocks of one family are enough without a known start, */
const manyBlocks = 3;
/** when they are so much of what was looked at. */
const mostOf = 0.25;
/** Without a known start and with fewer, nothing is said at all. */
const fewestBlocks = 2;
const leastOf = 0.05;

function isEnough(blocks: number, looked: number): boolean {
  return blocks >= mostOf * looked || (blocks >= fewestBlocks && blocks >= leastOf * looked);
}

function why(shares: ReadonlyMap<ProcessorFamily, number>): string {
  if (shares.size > 1) return "its blocks look like code of several families";
  return shares.size === 1 ? "too little of it looks like code" : "neither a known start nor known instructions";
}

/** The instruction set of `family` that most blocks look like. */
function rowOf(blocks: InstructionVote["blocks"], family: ProcessorFamily): Encodings | undefined {
  const own = [...blocks].filter(([row]) => encodings[row]?.family === family).sort((a, b) => b[1] - a[1]);
  return own[0] && encodings[own[0][0]];
}

function unknown(because: readonly string[]): Processor {
  return { family: undefined, name: undefined, order: undefined, certainty: "unknown", because };
}

function voteOf(bytes: Uint8Array, address: number): InstructionVote {
  const count = Math.max(1, Math.floor(bytes.length / block));
  const step = Math.max(1, Math.ceil(count / mostBlocks));
  const blocks = new Map<number, number>();
  let looked = 0;
  for (let i = 0; i < count; i += step) {
    const from = i * block;
    const part = bytes.subarray(from, i === count - 1 ? Math.min(bytes.length, from + 2 * block) : from + block);
    const content = contentIn(part);
    if (content < leastContent) continue;
    looked++;
    const row = familyIn(part, address + from, content);
    if (row !== undefined) blocks.set(row, (blocks.get(row) ?? 0) + 1);
  }
  return { blocks, looked };
}

/** The row of `encodings` that `part` looks like, when it looks like one alone. */
function familyIn(part: Uint8Array, address: number, content: number): number | undefined {
  const counts = new Uint32Array(kindCount);
  instructionsIn(part, address, counts);
  const rows = encodings.map(({ usual }, row) => {
    const hits = counts.subarray(...(kindsOf[row] as [number, number]));
    const total = hits.reduce((sum, one) => sum + one, 0);
    return {
      total,
      most: Math.max(...hits),
      kinds: hits.filter((one) => one > 0).length,
      of: hits.length,
      score: (total * 1024) / (usual * content),
    };
  });
  const score = Math.max(...rows.map((row) => row.score));
  const best = rows.findIndex((row) => row.score === score);
  const { total, most, kinds, of } = rows[best] as (typeof rows)[number];
  if (score < usualShare || total < leastHits || kinds < Math.min(leastKinds, of) || total - most < leastHits / 2)
    return undefined;
  const { family } = encodings[best] as Encodings;
  const rival = Math.max(...rows.filter((_, row) => encodings[row]?.family !== family).map((row) => row.score));
  return score >= lead * rival ? best : undefined;
}

/** Bytes that are neither 00 nor FF. */
function contentIn(bytes: Uint8Array): number {
  let content = 0;
  for (const byte of bytes) if (byte !== 0 && byte !== 0xff) content++;
  return content;
}
