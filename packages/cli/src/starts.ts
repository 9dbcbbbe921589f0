/** What a process or a thread of the program can begin with; only what is asked for is loaded. */
export const starts = {
  assay: () => import("./bin.js"),
  "seek-worker": () => import("./seek/worker.js"),
} as const;
