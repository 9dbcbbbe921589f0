import { parentPort, workerData } from "node:worker_threads";
import { Image, planSeek, runSeekTask, type SeekPlan } from "@assay/core";
import type { WorkerOrder, WorkerReport, WorkerStart } from "./messages.js";

// A thread that does tasks of a search as they are handed to it. The plan is made here again: it is the same everywhere.
const images = (workerData as WorkerStart).images.map((segments) => Image.of(segments));
const plans = new Map<number, SeekPlan>();

parentPort?.on("message", ({ options, plan: number, task }: WorkerOrder) => {
  let plan = plans.get(number);
  if (!plan) {
    plan = planSeek(images, options);
    plans.set(number, plan);
  }
  const report: WorkerReport = { hits: runSeekTask(plan, task) };
  parentPort?.postMessage(report);
});
