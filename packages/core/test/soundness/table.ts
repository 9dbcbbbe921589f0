import { entryOf, type Finding } from "../../src/findings/catalogue.js";
import { Image } from "../../src/image/image.js";
import { ask } from "../../src/rules/rule.js";
import { soundnessQuestion, soundnessRules } from "../../src/rules/soundness.js";
import { measureSoundness } from "../../src/soundness/measure.js";
import { type CleanImage, hashOf } from "./corpus.js";
import { chanceOf, type Fault, leavesTrace } from "./faults.js";

/** What one read leads to. */
export interface Told {
  /** The codes of its findings, strongest first, and what they name (see `Fault.cause`). */
  readonly codes: readonly string[];
  readonly names: readonly string[];
  /** The lines that each of them numbers; empty when it numbers none. */
  readonly lines: readonly (readonly number[])[];
  /** Whether one of them is a stop. */
  readonly stop: boolean;
}

export function findingsOf(bytes: Uint8Array): Told {
  // The image as it would come from a raw file, at address 0.
  const measures = measureSoundness(Image.of([{ address: 0, bytes }]), { exact: true });
  const findings = ask(soundnessRules, "read", soundnessQuestion(measures)).flatMap(({ judgement }) =>
    "findings" in judgement ? (judgement.findings ?? []) : [],
  );
  const weight = (code: string) => (code === "stop" ? 0 : code === "review" ? 1 : 2);
  const sorted = [...findings].sort((a, b) => weight(entryOf(a).severity) - weight(entryOf(b).severity));
  return {
    codes: sorted.map(({ code }) => code),
    names: sorted.map(nameOf),
    lines: sorted.map(({ facts }) => linesIn(facts as Readonly<Record<string, unknown>>)),
    stop: sorted.some((one) => entryOf(one).severity === "stop"),
  };
}

function nameOf({ code, facts }: Finding): string {
  const { layout, correction, line, value } = facts as Readonly<Record<string, unknown>>;
  const said = layout ?? correction;
  if (said !== undefined) return `${code}:${said}`;
  if (code.startsWith("soundness/byte-value")) return `${code}:${Number(value).toString(16).padStart(2, "0")}`;
  return code === "soundness/hole-in-content" && line !== undefined ? `${code}:line` : code;
}

function linesIn({ lines, line, bit, first, second }: Readonly<Record<string, unknown>>): number[] {
  const numbers = Array.isArray(lines)
    ? lines.slice(0, 1)
    : [line ?? bit, ...(second === undefined ? [] : [first, second])];
  return numbers.filter((number) => typeof number === "number");
}

/** Whether the good image has what a fault needs to show at all. Stated beside the table, with the images that have not. */
export function canShow(image: CleanImage, needs: Fault["needs"]): boolean {
  const { statistics, content } = measureSoundness(Image.of([{ address: 0, bytes: image.bytes }]));
  if (!statistics || content < 1024) return false;
  const { code, text, across } = statistics.order.asIs;
  switch (needs) {
    case "legible":
      return statistics.order.pairs >= 512 && code + 2 * (text + across) >= 0.1 && statistics.chaos.flatShare < 0.5;
    case "text":
      return text >= 0.02 && statistics.order.pairs * text >= 150;
    case "continuity":
      return statistics.pieces.borders.some(
        ({ line, inside, crossed }) => line === 10 && inside >= 0.15 && crossed >= 32,
      );
    default:
      return true;
  }
}

/** What became of one kind of fault. */
export interface Row {
  readonly fault: string;
  readonly tried: number;
  /** Led to a finding that the clean image does not have. */
  readonly found: number;
  /** Led to one that names the cause, alone or among others, and of these to one that is not sure of it. */
  readonly named: number;
  readonly doubtful: number;
  readonly misses: readonly string[];
  readonly others: Readonly<Record<string, number>>;
  readonly untellable: string | undefined;
  /** Reads of images that the fault cannot show in. */
  readonly mute: number;
}

/** `fault` put into every image at every seed. */
export function rowOf(
  fault: Fault,
  images: readonly CleanImage[],
  seeds: readonly number[],
  clean: (image: CleanImage) => readonly string[],
): Row {
  let [tried, found, named, doubtful, mute] = [0, 0, 0, 0, 0];
  const misses: string[] = [];
  const others: Record<string, number> = {};
  for (const image of images) {
    for (const seed of seeds) {
      const chance = chanceOf(hashOf(new TextEncoder().encode(`${fault.name}${image.name}${seed}`)));
      const draws: number[] = [];
      const bytes = fault.make(image.bytes, (below) => {
        const draw = chance(below);
        if (draws.length < 2) draws.push(draw);
        return draw;
      });
      if (!bytes || bytes.length < 2048 || same(bytes, image.bytes)) continue;
      if (!canShow(image, fault.needs) || !leavesTrace(image.bytes, bytes)) {
        mute++;
        continue;
      }
      tried++;
      const { codes, names, lines } = findingsOf(bytes);
      const own = clean(image);
      const fresh = codes.filter((code) => !own.includes(code));
      const concerned = fault.lines?.(draws);
      const isRight = (numbers: readonly number[]) =>
        !concerned || numbers.every((number) => concerned.includes(number));
      const naming = names.filter((name, i) => fault.cause.test(name) && isRight(lines[i] as readonly number[]));
      const isNamed = naming.length > 0;
      if (isNamed) named++;
      if (isNamed && naming.every((name) => /-doubtful|records-alike/.test(name))) doubtful++;
      if (isNamed || fresh.length > 0) found++;
      else misses.push(image.name);
      if (!isNamed) others[fresh[0] ?? "nothing"] = (others[fresh[0] ?? "nothing"] ?? 0) + 1;
    }
  }
  return { fault: fault.name, tried, found, named, doubtful, misses, others, untellable: fault.untellable, mute };
}

function same(a: Uint8Array, b: Uint8Array): boolean {
  return a.length === b.length && Buffer.compare(a, b) === 0;
}

const percent = (part: number, of: number) => (of === 0 ? "-" : `${((100 * part) / of).toFixed(1)} %`);

/** Over all faults that can be told at all: reads, and shares found and named. */
export function sumOf(rows: readonly Row[]): { reads: number; found: string; named: string } {
  const told = rows.filter(({ untellable }) => !untellable);
  const sum = (of: (row: Row) => number) => told.reduce((total, row) => total + of(row), 0);
  const reads = sum(({ tried }) => tried);
  return {
    reads,
    found: percent(
      sum(({ found }) => found),
      reads,
    ),
    named: percent(
      sum(({ named }) => named),
      reads,
    ),
  };
}

/** The rows as a table in the form that the docs have. */
export function tableOf(rows: readonly Row[]): string {
  const lines = rows.map(({ fault, tried, found, named, doubtful, others, untellable, mute }) => {
    const instead = Object.entries(others)
      .sort((a, b) => b[1] - a[1])
      .slice(0, 3)
      .map(([code, count]) => `${code.replace("soundness/", "")} ${count}`)
      .join(", ");
    return `| ${fault}${untellable ? " (not told without a reference)" : ""} | ${tried} | ${mute} | ${percent(found, tried)} | ${percent(named, tried)} | ${doubtful > 0 ? doubtful : ""} | ${instead} |`;
  });
  return [
    "| fault put in | reads | cannot show | found | cause named right | in doubt | named instead |",
    "| --- | --- | --- | --- | --- | --- | --- |",
    ...lines,
  ].join("\n");
}
