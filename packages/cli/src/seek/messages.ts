import type { Hit, PlanOptions, SeekTask } from "@assay/core";

/** What a thread is given to begin with: the segments of each image. */
export interface WorkerStart {
  readonly images: readonly (readonly { readonly address: number; readonly bytes: Uint8Array }[])[];
}

/** One piece of work: a task of the plan with these options. */
export interface WorkerOrder {
  readonly options: PlanOptions;
  /** The same for all tasks of one plan. */
  readonly plan: number;
  readonly task: SeekTask;
}

export interface WorkerReport {
  readonly hits: readonly Hit[];
}
