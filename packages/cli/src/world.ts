import type { FileSystem } from "./files/file-system.js";
import type { Protected } from "./files/identity.js";

/** Where text or bytes go out. */
export interface Output {
  readonly isTerminal: boolean;
  /** The terminal's own columns, where there is a terminal that says so. */
  readonly columns: number | undefined;
  /**
   * Hands `data` over and waits until it is taken, however slow the reader is. A reader that hung up is no error.
   * @throws Error with a code of the system (ENOSPC ...) when it cannot be written
   */
  write(data: string | Uint8Array): Promise<void>;
}

/** Where bytes come in without having a name. */
export interface Input {
  readonly isTerminal: boolean;
  /** What comes in, piece by piece, up to its end. */
  pieces(): AsyncIterable<Uint8Array>;
}

/** A document that was read beside the images: what a record names of it. */
export interface DocumentRead {
  readonly role: "profile" | "job";
  readonly name: string;
  readonly bytes: number;
  readonly sha256: string;
}

/** The processes of this machine, as far as a lock has to know them. */
export interface Processes {
  readonly own: number;
  /** The same for two processes exactly when each sees the other under its number. */
  readonly place: string;
  isRunning(process: number): boolean;
}

/** Everything outside of the program: all that is not a pure function goes through here. */
export interface World {
  readonly environment: Readonly<Record<string, string | undefined>>;
  readonly stdin: Input;
  readonly stdout: Output;
  readonly stderr: Output;
  readonly files: FileSystem;
  /** The files that were given to this run, gathered as they are read: none of them is ever written to. */
  readonly kept: Protected[];
  /** The profile and the job sheet of this run, gathered as they are read. */
  readonly documents: DocumentRead[];
  readonly processes: Processes;
  /** The time of day, for records. */
  now(): Date;
  /** Lets so many milliseconds go by. */
  pause(milliseconds: number): Promise<void>;
  /** Has `cleanUp` called before the program dies of a signal; the result takes that back. */
  onCancel(cleanUp: () => void): () => void;
  /** Has `stop` called at the first Ctrl-C instead of the program's end; the result takes that back. */
  onInterrupt(stop: () => void): () => void;
  /** How many threads the machine runs at the same time. */
  readonly threads: number;
}
