import * as fs from "node:fs";
import { availableParallelism } from "node:os";
import { nodeProcesses } from "./node-processes.js";
import type { Output, World } from "./world.js";

/** The world as Node shows it. */
export function nodeWorld(): World {
  return {
    environment: process.env,
    stdin: {
      get isTerminal() {
        return process.stdin.isTTY === true;
      },
      pieces: () => process.stdin as AsyncIterable<Uint8Array>,
    },
    stdout: output(process.stdout),
    stderr: output(process.stderr),
    files: fs,
    kept: [],
    documents: [],
    processes: nodeProcesses(),
    now: () => new Date(),
    pause: (milliseconds) => new Promise((resolve) => setTimeout(resolve, milliseconds)),
    onCancel,
    onInterrupt,
    threads: availableParallelism(),
  };
}

function output(stream: NodeJS.WriteStream): Output {
  // The write that fails is told; without a listener the event would end the process with a stack.
  stream.on("error", () => {});
  return {
    isTerminal: stream.isTTY === true,
    columns: stream.columns,
    write: (data) =>
      new Promise((resolve, reject) => {
        stream.write(data, (error: NodeJS.ErrnoException | null | undefined) => {
          if (error && error.code !== "EPIPE" && error.code !== "ERR_STREAM_DESTROYED") reject(error);
          else resolve();
        });
      }),
  };
}

/** A file that grows over its limit ends the process, unless somebody listens: then the write says so. */
const letWriteFail = () => {};

const signals = ["SIGINT", "SIGTERM", "SIGHUP"] as const;

/**
 * Signals are left to the system, which ends the process at once even in the middle of a long computation (a shell
 * sees 130 for Ctrl-C). Only while something is to be cleaned up are they held, and given on afterwards.
 */
function onCancel(cleanUp: () => void): () => void {
  const release = () => {
    for (const signal of signals) process.off(signal, held);
    process.off("SIGXFSZ", letWriteFail);
  };
  const held = (signal: NodeJS.Signals) => {
    release();
    cleanUp();
    process.kill(process.pid, signal);
  };
  for (const signal of signals) process.on(signal, held);
  process.on("SIGXFSZ", letWriteFail);
  return release;
}

/** The first Ctrl-C is a wish; whoever presses it again means it. */
function onInterrupt(stop: () => void): () => void {
  process.once("SIGINT", stop);
  return () => process.off("SIGINT", stop);
}
