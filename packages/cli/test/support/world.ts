import * as fs from "node:fs";
import type { FileSystem } from "../../src/files/file-system.js";
import type { World } from "../../src/world.js";

/** A world of which the files are real and the rest is still; single calls to the file system can be replaced. */
export function stillWorld(replaced: Partial<FileSystem> = {}): World & {
  readonly written: Buffer[];
  readonly told: Buffer[];
} {
  const written: Buffer[] = [];
  const told: Buffer[] = [];
  const output = (kept: Buffer[]) => ({
    isTerminal: false,
    columns: undefined,
    write: async (data: string | Uint8Array) => {
      kept.push(Buffer.from(data as Uint8Array));
    },
  });
  return {
    environment: {},
    stdin: {
      isTerminal: false,
      async *pieces() {
        yield new Uint8Array(0);
      },
    },
    stdout: output(written),
    stderr: output(told),
    files: { ...fs, ...replaced },
    kept: [],
    documents: [],
    processes: { own: process.pid, place: "0123456789abcdef", isRunning: (number) => number === process.pid },
    now: () => new Date(0),
    pause: (milliseconds) => new Promise((resolve) => setTimeout(resolve, milliseconds)),
    onCancel: () => () => {},
    onInterrupt: () => () => {},
    threads: 2,
    written,
    told,
  };
}

/** An error as the system gives it. */
export function systemError(code: string): NodeJS.ErrnoException {
  return Object.assign(new Error(`${code}: made for a test`), { code });
}

/** The code of the refusal that `work` ends with; undefined when it ends well. */
export async function refusalOf(work: () => unknown): Promise<string | undefined> {
  try {
    await work();
    return undefined;
  } catch (error) {
    const { name, code } = error as { name: string; code?: string };
    return name === "Refusal" ? code : `${name} ${code}`;
  }
}
