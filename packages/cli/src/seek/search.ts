import {
  furtherPlan,
  type Hit,
  type Image,
  type PlanOptions,
  planSeek,
  type SeekPlan,
  type SeekResult,
  type SeekTask,
  seekResult,
} from "@assay/core";
import type { World } from "../world.js";
import { Progress } from "./progress.js";
import { SeekThreads } from "./threads.js";

export interface SearchWishes {
  /** Seconds. */
  readonly budget?: number;
  readonly quiet?: boolean;
}

const mostThreads = 8;

/** Searches `images` for ranges that check themselves, on threads; stops at the budget or on an interrupt with what there is. */
export async function search(
  world: World,
  images: readonly Image[],
  { budget, quiet }: SearchWishes,
): Promise<SeekResult> {
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
