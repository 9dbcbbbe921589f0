import type { Image } from "../image/image.js";
import type { Hit } from "./hit.js";
import { type PlanOptions, planSeek, runSeekTask, type SeekPlan, type SeekTask } from "./plan.js";
import { establishedBy, type FoundChecksum, foundIn } from "./result.js";
import { recoverCrcs } from "./unknown-crc.js";

/** How far a search has come. */
export interface SeekStep {
  /** What was just tried, for people. */
  readonly tried: string;
  /** The share of the work that is done, as far as it is known. */
  readonly share: number;
  /** What is found up to now: made when it is asked for. */
  readonly found: () => readonly FoundChecksum[];
}

/** What was looked for and what was found. */
export interface SeekResult {
  readonly searched: Searched;
  readonly found: readonly FoundChecksum[];
}

/** What was tried. */
export interface Searched {
  /** Bytes that all images know, and how many images have content of their own. */
  readonly bytes: number;
  readonly images: number;
  readonly algorithms: number;
  /** Ranges with an algorithm, a form, a byte order and a place for the value. */
  readonly hypotheses: number;
  /** Whether everything was tried that was to be. */
  readonly complete: boolean;
  readonly tasks: { readonly done: number; readonly planned: number };
}

/**
 * Searches `images` for ranges that check themselves. Every step is a short piece of work: whoever takes the steps
 * shows how far it is, and stops when they like; `return` gives what there is. All images are of one family, each with
 * content of its own: what is found holds in all of them.
 */
export function* seekChecksums(images: readonly Image[], options: PlanOptions = {}): Generator<SeekStep, SeekResult> {
  const hits: Hit[] = [];
  const first = planSeek(images, options);
  const found = () => foundIn(first, hits);
  yield* steps(first, hits, found, 0, 0.9);
  const further = furtherPlan(first, hits);
  if (!further) return seekResult(first, hits, first.tasks);
  yield* steps(further, hits, () => foundIn(further, hits), 0.9, 0.1);
  return seekResult(further, hits, [...first.tasks, ...further.tasks]);
}

function* steps(
  plan: SeekPlan,
  hits: Hit[],
  found: SeekStep["found"],
  from: number,
  part: number,
): Generator<SeekStep> {
  const total = plan.tasks.reduce((sum, { work }) => sum + work, 0);
  let done = 0;
  for (const task of plan.tasks) {
    hits.push(...runSeekTask(plan, task));
    done += task.work;
    yield { tried: nameOfTask(plan, task), share: from + (part * done) / total, found };
  }
}

/**
 * What there is to try once `hits` have established ranges: others may begin or end where these do, and what changes
 * between the images and is no value yet may be that of a CRC in no catalogue. Describes all `hits` of `plan` as well.
 */
export function furtherPlan(plan: SeekPlan, hits: readonly Hit[]): SeekPlan | undefined {
  const { known, families, values } = establishedBy(plan, hits);
  const recovered = plan.sites.flatMap((site) => recoverCrcs(site, values[site.index] ?? new Set()));
  const own = recovered.map((_, i) => plan.families.length + i);
  if (families.length + own.length === 0) return undefined;
  const searches = ["blocks", "words", "inside", ...(own.length > 0 ? (["described"] as const) : [])] as const;
  return planSeek(plan.images, { ...plan.options, known, recovered, families: [...families, ...own], searches });
}

/** What a search comes to in which the tasks `done` of `plan` were done, with `hits`. */
export function seekResult(
  plan: SeekPlan,
  hits: readonly Hit[],
  done: readonly SeekTask[],
  planned = done.length,
): SeekResult {
  return {
    searched: {
      bytes: plan.sites.reduce((sum, { ground }) => sum + ground.length, 0),
      images: Math.max(0, ...plan.sites.map(({ ground }) => ground.contents.length)),
      algorithms: plan.families.reduce((sum, { variants }) => sum + variants.length, 0),
      hypotheses: done.reduce((sum, task) => sum + hypothesesOf(plan, task), 0),
      complete: done.length >= planned,
      tasks: { done: done.length, planned },
    },
    found: foundIn(plan, hits),
  };
}

export function nameOfTask(plan: SeekPlan, { family, search }: SeekTask): string {
  const where = {
    described: "ranges that the image describes",
    blocks: "ranges between boundaries",
    words: "ranges between any two words",
    inside: "values inside their range",
  } as const;
  return `${plan.families[family]?.name}: ${where[search]}`;
}

/** About how many hypotheses a task tries. */
function hypothesesOf({ sites, families }: SeekPlan, { ground, family, search }: SeekTask): number {
  const site = sites[ground];
  const one = families[family];
  if (!site || !one) return 0;
  const ways = one.variants.length * (one.width > 8 ? 2 : 1);
  const pairs = (count: number) => (count * count) / 2;
  switch (search) {
    case "words":
      return Math.round(pairs(site.ground.length / 4) * ways * (one.joins === "both" ? 2 : 1));
    case "blocks":
      return Math.round(pairs(Math.min(3000, site.structure(one.width / 8, one.step).offsets.length)) * ways * 2);
    case "inside":
      return Math.round(pairs(250) * ways * 32);
    case "described":
      return ways * 6;
  }
}
