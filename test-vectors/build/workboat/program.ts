import type { Memory, Span } from "./memory.js";
import { Random } from "./random.js";
import { type Neighbours, type Routine, routine, type Target } from "./routine.js";
import { texts } from "./texts.js";

/** One software: routines of a common library, in an order of its own, and routines that no other software has. */
export interface Software {
  readonly label: string;
  readonly library: number;
  readonly own: number;
  /** How many things a routine does on average. */
  readonly size: number;
}

/** The helpers that everybody calls come first in every software. */
const HELPERS = 40;

/** Writes the software's code, texts and tables of addresses into `span`; gives the address of each routine. */
export function writeProgram(
  memory: Memory,
  span: Span,
  software: Software,
  calibration: Pick<Neighbours, "tables" | "scalars">,
): readonly number[] {
  const said = textsOf(software);
  const count = software.library + software.own;
  const neighbours: Neighbours = { ...calibration, routines: count, helpers: HELPERS, texts: said.length };
  const routines = labelsOf(software).map((label) => {
    const random = new Random(`routine ${label}`);
    return routine(random, neighbours, Math.round(software.size * (0.3 + 1.7 * random.next())));
  });

  const addresses: number[] = [];
  let at = span.start;
  for (const { words } of routines) {
    addresses.push(at);
    at += 2 * words.length;
  }
  const spoken: number[] = [];
  for (const text of said) {
    spoken.push(at);
    memory.text(at, `${text}\0`);
    at += text.length + 1;
  }
  at += at % 4 === 0 ? 0 : 4 - (at % 4);
  at = writeTables(memory, at, software, addresses, spoken);
  if (at > span.end) throw new RangeError(`program: expected it to end by ${span.end}, got ${at}`);

  const addressOf = (own: number, target: Target): number => {
    if (target.kind === "here") return own + 2 * target.word;
    return (target.kind === "routine" ? addresses : spoken)[target.index] as number;
  };
  for (const [i, one] of routines.entries()) link(memory, addresses[i] as number, one, addressOf);
  return addresses;
}

/** The library keeps its routines from one software to the next, between others and so at other addresses. */
function labelsOf({ label, library, own }: Software): readonly string[] {
  const shared = Array.from({ length: library }, (_, i) => `library ${i}`);
  const others = [...shared.slice(HELPERS), ...Array.from({ length: own }, (_, i) => `${label} ${i}`)];
  return [...shared.slice(0, HELPERS), ...new Random(`order ${label}`).shuffled(others)];
}

function textsOf({ label, own }: Software): readonly string[] {
  return own < 100 ? texts.slice(1, 20) : [`build ${label}`, ...texts];
}

function link(
  memory: Memory,
  start: number,
  { words, links }: Routine,
  addressOf: (own: number, target: Target) => number,
) {
  for (const [i, word] of words.entries()) memory.put16(start + 2 * i, word);
  for (const { word, target } of links) memory.put32(start + 2 * word, addressOf(start, target));
}

/** The tasks with their period, the commands of the monitor, and a quarter wave as a program keeps one. */
function writeTables(
  memory: Memory,
  start: number,
  software: Software,
  addresses: readonly number[],
  spoken: readonly number[],
): number {
  const random = new Random(`tables ${software.label}`);
  let at = start;
  for (let task = 0; task < addresses.length / 8; task++, at += 8) {
    memory.put32(at, random.pick(addresses));
    memory.put16(at + 4, random.pick([5, 10, 10, 20, 20, 50, 100, 1000]));
    memory.put16(at + 6, task);
  }
  for (const [i, text] of spoken.entries()) {
    memory.put32(at, text);
    memory.put16(at + 4, 0x2000 + i);
    memory.put16(at + 6, random.pick([1, 1, 1, 2, 3]));
    at += 8;
  }
  for (let i = 0; i < 128; i++, at += 2) memory.put16(at, Math.round(32767 * Math.sin((Math.PI * i) / 256)));
  return at;
}
