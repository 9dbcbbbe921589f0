import { entryOf } from "../../src/findings/catalogue.js";
import { Image } from "../../src/image/image.js";
import { ask } from "../../src/rules/rule.js";
import { soundnessQuestion, soundnessRules } from "../../src/rules/soundness.js";
import { measureSoundness } from "../../src/soundness/measure.js";
import { type CleanImage, hashOf } from "./corpus.js";
import { chanceOf, type Fault } from "./faults.js";

/** What one read leads to: the codes of its findings, strongest first, and whether one of them is a stop. */
export function findingsOf(bytes: Uint8Array): { codes: string[]; stop: boolean } {
  // The image as it would come from a raw file, at address 0.
  const measures = measureSoundness(Image.of([{ address: 0, bytes }]), { exact: true });
  const findings = ask(soundnessRules, "read", soundnessQuestion(measures)).flatMap(({ judgement }) =>
    "findings" in judgement ? (judgement.findings ?? []) : [],
  );
  const weight = (code: string) => (code === "stop" ? 0 : code === "review" ? 1 : 2);
  const sorted = [...findings].sort((a, b) => weight(entryOf(a).severity) - weight(entryOf(b).severity));
  return { codes: sorted.map(({ code }) => code), stop: sorted.some((one) => entryOf(one).severity === "stop") };
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
        ({ line, inside, crossed }) => line === 10 && inside >= 0.15 && crossed >= 64,
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
  /** Led to one that names the cause. */
  readonly named: number;
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
  let [tried, found, named, mute] = [0, 0, 0, 0];
  const misses: string[] = [];
  const others: Record<string, number> = {};
  for (const image of images) {
    for (const seed of seeds) {
      const bytes = fault.make(
        image.bytes,
        chanceOf(hashOf(new TextEncoder().encode(`${fault.name}${image.name}${seed}`))),
      );
      if (!bytes || bytes.length < 2048 || same(bytes, image.bytes)) continue;
      if (!canShow(image, fault.needs)) {
        mute++;
        continue;
      }
      tried++;
      const { codes } = findingsOf(bytes);
      const own = clean(image);
      const fresh = codes.filter((code) => !own.includes(code));
      const isNamed = codes.some((code) => fault.cause.test(code));
      if (isNamed) named++;
      if (isNamed || fresh.length > 0) found++;
      else misses.push(image.name);
      if (!isNamed) others[fresh[0] ?? "nothing"] = (others[fresh[0] ?? "nothing"] ?? 0) + 1;
    }
  }
  return { fault: fault.name, tried, found, named, misses, others, untellable: fault.untellable, mute };
}

function same(a: Uint8Array, b: Uint8Array): boolean {
  return a.length === b.length && Buffer.compare(a, b) === 0;
}

const percent = (part: number, of: number) => (of === 0 ? "-" : `${((100 * part) / of).toFixed(1)} %`);

/** The rows as a table in the form that the docs have. */
export function tableOf(rows: readonly Row[]): string {
  const lines = rows.map(({ fault, tried, found, named, others, untellable, mute }) => {
    const instead = Object.entries(others)
      .sort((a, b) => b[1] - a[1])
      .slice(0, 3)
      .map(([code, count]) => `${code.replace("soundness/", "")} ${count}`)
      .join(", ");
    return `| ${fault}${untellable ? " (not told without a reference)" : ""} | ${tried} | ${mute} | ${percent(found, tried)} | ${percent(named, tried)} | ${instead} |`;
  });
  return [
    "| fault put in | reads | cannot show | found | cause named right | named instead |",
    "| --- | --- | --- | --- | --- | --- |",
    ...lines,
  ].join("\n");
}
