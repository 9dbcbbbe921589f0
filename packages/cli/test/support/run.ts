import { spawn } from "node:child_process";
import { fileURLToPath } from "node:url";

/** The built program, as it is installed. */
export const program = fileURLToPath(new URL("../../bin/assay.cjs", import.meta.url));

/** The invented workboat's files. */
export const workboat = fileURLToPath(new URL("../../../../test-vectors/workboat/", import.meta.url));

export interface Ran {
  readonly code: number | null;
  readonly signal: NodeJS.Signals | null;
  readonly stdout: Buffer;
  readonly stderr: string;
}

export interface Circumstances {
  readonly cwd?: string;
  readonly input?: Uint8Array;
  readonly environment?: Readonly<Record<string, string>>;
}

/** Runs the program through pipes and waits for its end. Nothing of this process's environment reaches it but the path. */
export function assay(args: readonly string[], circumstances: Circumstances = {}): Promise<Ran> {
  return run(process.execPath, [program, ...args], circumstances);
}

/** Runs a line of shell in which `assay` is the program. */
export function shell(line: string, circumstances: Circumstances = {}): Promise<Ran> {
  const quoted = [process.execPath, program].map((path) => `'${path}'`).join(" ");
  return run("bash", ["--norc", "-c", `assay() { ${quoted} "$@"; }; ${line}`], circumstances);
}

/** Runs a command through pipes, with nothing of this process's environment but the path. */
export function run(
  command: string,
  args: readonly string[],
  { cwd, input, environment }: Circumstances,
): Promise<Ran> {
  const child = spawn(command, args, { cwd, env: { PATH: process.env.PATH, ...environment } });
  const stdout: Buffer[] = [];
  const stderr: Buffer[] = [];
  child.stdout.on("data", (piece: Buffer) => stdout.push(piece));
  child.stderr.on("data", (piece: Buffer) => stderr.push(piece));
  child.stdin.on("error", () => {}); // it may have ended without reading
  child.stdin.end(input);
  return new Promise((resolve, reject) => {
    child.once("error", reject);
    child.once("close", (code, signal) =>
      resolve({ code, signal, stdout: Buffer.concat(stdout), stderr: Buffer.concat(stderr).toString("utf8") }),
    );
  });
}
