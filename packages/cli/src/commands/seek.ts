import {
  furtherPlan,
  type Hit,
  type Image,
  type PlanOptions,
  planSeek,
  Refusal,
  reportInput,
  type SeekPlan,
  type SeekResult,
  type SeekTask,
  seekResult,
} from "@assay/core";
import { DONE } from "../exit-code.js";
import { onlyOnce, readInputs } from "../inputs.js";
import type { CommonOptions } from "../options.js";
import { outputWidth, print, printJson } from "../output.js";
import { renderSeek } from "../render/seek.js";
import { Progress } from "../seek/progress.js";
import { SeekThreads } from "../seek/threads.js";
import type { World } from "../world.js";

export interface SeekWishes extends CommonOptions {
  /** Seconds. */
  readonly budget?: number;
  readonly fill?: number;
}

/** More reads of one family do not tell more: eight differing ones settle any value of eight bits. */
const mostReads = 16;
/** Memory that a few bytes at far addresses would fill is not made. */
const mostFilled = 64 * 2 ** 20;
const mostThreads = 8;

/** Finds ranges that check themselves, without being told anything. */
export async function seek(world: World, paths: readonly string[], wishes: SeekWishes): Promise<number> {
  if (paths.length > mostReads) {
    throw new Refusal("usage/too-many-reads", `expected at most ${mostReads} reads of one family, got ${paths.length}`);
  }
  onlyOnce(paths);
  const role = (i: number) => (paths.length === 1 ? "read" : `read-${i + 1}`);
  const inputs = await readInputs(world, Object.fromEntries(paths.map((path, i) => [role(i), path])), wishes);
  const images = inputs.map(({ decoded }, i) => filled(decoded.image, wishes.fill, paths[i] as string));
  const result = await search(world, images, wishes);
  if (wishes.json) {
    await printJson(world, { schema: "assay.seek/1", inputs: inputs.map(reportInput), ...result });
  } else if (!wishes.quiet) {
    await print(world, renderSeek(result, outputWidth(world)), wishes);
  }
  return DONE;
}

function filled(image: Image, fill: number | undefined, file: string): Image {
  const { bounds } = image;
  if (fill === undefined || !bounds) return image;
  if (bounds.end - bounds.start > mostFilled) {
    throw new Refusal(
      "seek/too-wide",
      `--fill: expected at most ${mostFilled} bytes of memory, got ${bounds.end - bounds.start}`,
      { file },
    );
  }
  return image.filled([bounds], fill);
}

async function search(world: World, images: readonly Image[], { budget, quiet }: SeekWishes): Promise<SeekResult> {
  const plan = planSeek(images);
  if (plan.tasks.length === 0) return seekResult(plan, [], []);
  const threads = new SeekThreads(images, Math.min(mostThreads, world.threads, plan.tasks.length));
  const release = world.onInterrupt(() => threads.stop());
  const timer = budget === undefined ? undefined : setTimeout(() => threads.stop(), 1000 * budget);
  const progress = new Progress(world, quiet !== true);
  const hits: Hit[] = [];
  const done: SeekTask[] = [];
  const round = (number: number, options: PlanOptions, of: SeekPlan, from: number, part: number) => {
    const { tasks } = of;
    const total = tasks.reduce((sum, { work }) => sum + work, 0);
    let work = 0;
    return threads.run(number, options, tasks, (task, more) => {
      hits.push(...more);
      done.push(task);
      work += task.work;
      void progress.show(from + (part * work) / total, () => countOf(seekResult(of, hits, [])));
    });
  };
  try {
    await round(0, {}, plan, 0, 0.9);
    const further = threads.stopped ? undefined : furtherPlan(plan, hits);
    if (further) await round(1, further.options, further, 0.9, 0.1);
    return seekResult(further ?? plan, hits, done, plan.tasks.length + (further?.tasks.length ?? 0));
  } finally {
    clearTimeout(timer);
    release();
    await threads.end();
    await progress.end();
  }
}

function countOf({ found }: SeekResult): number {
  return found.filter(({ certainty }) => certainty !== "chance").length;
}
