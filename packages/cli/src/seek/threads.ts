import { Worker } from "node:worker_threads";
import type { Hit, Image, PlanOptions, SeekTask } from "@assay/core";
import type { WorkerOrder, WorkerReport, WorkerStart } from "./messages.js";

/** What is told after every task. */
export type TaskDone = (task: SeekTask, hits: readonly Hit[]) => void;

/** Threads that search the same images, and can be stopped in the midst of it. */
export class SeekThreads {
  readonly #workers: readonly Worker[];
  #stopped = false;
  #stopping: (() => void) | undefined;

  constructor(images: readonly Image[], count: number) {
    const start: WorkerStart = { images: images.map(({ segments }) => segments) };
    const program = new URL("../bin/seek-worker.cjs", import.meta.url);
    this.#workers = Array.from({ length: count }, () => new Worker(program, { workerData: start }));
  }

  get stopped(): boolean {
    return this.#stopped;
  }

  /** Lets go of what is under way. What was done counts. */
  stop(): void {
    this.#stopped = true;
    this.#stopping?.();
  }

  /** Has `tasks` done in their order, telling each; ends when all are done or `stop` was called. */
  async run(plan: number, options: PlanOptions, tasks: readonly SeekTask[], done: TaskDone): Promise<void> {
    let next = 0;
    const stop = new Promise<void>((resolve) => {
      this.#stopping = resolve;
    });
    if (this.#stopped) return;
    const each = this.#workers.map(async (worker) => {
      while (!this.#stopped && next < tasks.length) {
        const task = tasks[next++] as SeekTask;
        const hits = await ask(worker, { options, plan, task });
        if (!this.#stopped) done(task, hits);
      }
    });
    await Promise.race([Promise.all(each), stop]);
  }

  async end(): Promise<void> {
    await Promise.all(this.#workers.map((worker) => worker.terminate()));
  }
}

function ask(worker: Worker, order: WorkerOrder): Promise<readonly Hit[]> {
  return new Promise((resolve, reject) => {
    const told = ({ hits }: WorkerReport) => {
      worker.off("error", reject);
      resolve(hits);
    };
    worker.once("message", told);
    worker.once("error", reject);
    worker.postMessage(order);
  });
}
