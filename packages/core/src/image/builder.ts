import { spanOf } from "../bytes/span.js";
import { Image, type Segment } from "./image.js";
import { type Meeting, type Meetings, noMeetings, resolveRuns } from "./overlap.js";
import { type Pieces, pieceAt, pieceFrom, type Runs, runsAsPieces } from "./runs.js";

/** The way back from a byte to its file: the place of an earlier byte, and how many were written since. */
export interface Trace {
  /** Bytes from the start of the file, as the writer stated it. */
  readonly position: number;
  readonly line: number;
  /** How many bytes were written from the one at `position` to this one, in the order of the file. */
  readonly distance: number;
}

/** A run of addresses that was written twice. The first write is the one that counts. */
export interface Overlap {
  readonly address: number;
  readonly length: number;
  /** How many of the bytes differ, and the first address where they do. */
  readonly differing: number;
  readonly firstDifference: number | undefined;
  /** Both writes at the first difference, or at `address` when there is none, and the bytes that they hold there. */
  readonly first: Trace;
  readonly second: Trace;
  readonly kept: number;
  readonly dropped: number;
}

/** Overlaps of one kind: the first 100 of them, the last, and what all came to. */
export interface Overlaps {
  readonly shown: readonly Overlap[];
  readonly last: Overlap | undefined;
  readonly count: number;
  readonly bytes: number;
}

/** What came out of all writes. */
export interface Built {
  readonly image: Image;
  /** Where an address was written again with the byte that it had, and where with another one. */
  readonly equal: Overlaps;
  readonly conflicting: Overlaps;
  /** Runs of addresses beyond the limit, and the bytes in them: they are not in the image. */
  readonly leftOut: { readonly runs: number; readonly bytes: number };
  /** The way back from the byte at `address`, or undefined where nothing was written. */
  readonly traceOf: (address: number) => Trace | undefined;
}

/** More separate runs of addresses than any unit's read has. Each costs some 240 bytes of memory (measured). */
export const RUNS_KEPT = 2 ** 17;

/** Bytes after which a run is marked anew, so that the way from a mark to any of its bytes stays short. */
export const MARK_EVERY = 1024;

/**
 * Gathers writes in the order of the file. Memory grows with the bytes written, never with the addresses; a write
 * that goes on where the last one ended costs its bytes and nothing else.
 *
 * A writer in a hurry puts its bytes into `bytes` from `used` on and then says with `commit` where they belong.
 */
export class ImageBuilder {
  /** All bytes in the order in which they were written. */
  readonly bytes: Uint8Array;
  /** How many of them are filled. */
  used = 0;
  #words = new Uint32Array(4 * 16);
  #count = 0;
  #next = -1;
  #markAt = 0;
  #ascending = true;

  /** One past the last address written; -1 before the first. */
  get next(): number {
    return this.#next;
  }

  /** The value of `used` from which a run is marked anew though it goes on. */
  get markAt(): number {
    return this.#markAt;
  }

  /** A builder with room for `capacity` bytes. */
  constructor(capacity: number) {
    this.bytes = new Uint8Array(capacity);
  }

  /**
   * Takes the next `length` bytes of `bytes` as written at `address`; `position` and `line` say where in its file the
   * first of them stands. The last address must be below 2**32.
   */
  commit(address: number, length: number, position: number, line: number): void {
    if (length === 0) return;
    if (address !== this.#next || this.used >= this.#markAt) this.#mark(address, position, line);
    this.used += length;
    this.#next = address + length;
  }

  /**
   * Writes a copy of `bytes` at `address`.
   * @throws RangeError when they reach past 2**32 or there is no room for them
   */
  write(address: number, bytes: Uint8Array, position = 0, line = 0): void {
    spanOf(address, bytes.length);
    this.bytes.set(bytes, this.used);
    this.commit(address, bytes.length, position, line);
  }

  /** The image of all writes. Its segments are views of `bytes` where they can be. The builder is spent then. */
  build(runsKept: number = RUNS_KEPT): Built {
    const runs: Runs = { words: this.#words, count: this.#count, used: this.used };
    const straight = runsAsPieces(runs, this.#ascending);
    const { pieces, equal, conflicting } = straight
      ? { pieces: straight, equal: noMeetings, conflicting: noMeetings }
      : resolveRuns(runs, this.bytes);
    const { segments, leftOut } = joinPieces(runs, pieces, this.bytes, runsKept);
    return {
      image: Image.of(segments),
      equal: overlapsOf(runs, equal),
      conflicting: overlapsOf(runs, conflicting),
      leftOut,
      traceOf: (address) => {
        const index = pieceAt(pieces, address);
        return index === undefined ? undefined : traceIn(runs, pieces.sources[index] as number, address);
      },
    };
  }

  #mark(address: number, position: number, line: number): void {
    if (address < this.#next) this.#ascending = false;
    const at = 4 * this.#count++;
    if (at === this.#words.length) {
      const larger = new Uint32Array(2 * at);
      larger.set(this.#words);
      this.#words = larger;
    }
    this.#words[at] = address;
    this.#words[at + 1] = this.used;
    this.#words[at + 2] = position;
    this.#words[at + 3] = line;
    this.#markAt = this.used + MARK_EVERY;
  }
}

function traceIn({ words }: Runs, run: number, address: number): Trace {
  const [start, , position, line] = words.subarray(4 * run, 4 * run + 4) as unknown as [number, number, number, number];
  return { position, line, distance: address - start };
}

function overlapsOf(runs: Runs, { shown, last, count, bytes }: Meetings): Overlaps {
  const overlap = ({ first, second, ...meeting }: Meeting): Overlap => {
    const address = meeting.firstDifference ?? meeting.address;
    return { ...meeting, first: traceIn(runs, first, address), second: traceIn(runs, second, address) };
  };
  return { shown: shown.map(overlap), last: last && overlap(last), count, bytes };
}

/** Touching pieces as one segment: a view when they also follow each other in `bytes`, a copy otherwise. */
function joinPieces(runs: Runs, pieces: Pieces, bytes: Uint8Array, runsKept: number) {
  const { starts, lengths, count } = pieces;
  const segments: Segment[] = [];
  const leftOut = { runs: 0, bytes: 0 };
  for (let i = 0; i < count; ) {
    const address = starts[i] as number;
    const from = pieceFrom(runs, pieces, i);
    let end = address + (lengths[i] as number);
    let next = i + 1;
    let inOrder = true;
    for (; next < count && starts[next] === end; next++) {
      inOrder &&= pieceFrom(runs, pieces, next) === from + end - address;
      end += lengths[next] as number;
    }
    if (segments.length === runsKept) {
      leftOut.runs++;
      leftOut.bytes += end - address;
    } else {
      const view = inOrder ? bytes.subarray(from, from + end - address) : copied(runs, pieces, bytes, i, next);
      segments.push({ address, bytes: view });
    }
    i = next;
  }
  return { segments, leftOut };
}

function copied(runs: Runs, pieces: Pieces, bytes: Uint8Array, first: number, end: number): Uint8Array {
  const { starts, lengths } = pieces;
  const address = starts[first] as number;
  const joined = new Uint8Array((starts[end - 1] as number) + (lengths[end - 1] as number) - address);
  for (let i = first; i < end; i++) {
    const to = (starts[i] as number) - address;
    const from = pieceFrom(runs, pieces, i);
    const length = lengths[i] as number;
    // A loop beats `set` of a view below some 50 bytes, and records are that short.
    if (length > 48) joined.set(bytes.subarray(from, from + length), to);
    else for (let k = 0; k < length; k++) joined[to + k] = bytes[from + k] as number;
  }
  return joined;
}
