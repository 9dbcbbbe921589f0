import { type Pieces, type Runs, roomForPieces, runEnd, runFrom, runStart } from "./runs.js";

/** A run of addresses that was written twice. Both writes are named by run and address; the first one counts. */
export interface Meeting {
  readonly address: number;
  readonly length: number;
  /** How many of the bytes differ, and the first address where they do. */
  readonly differing: number;
  readonly firstDifference: number | undefined;
  /** The runs that hold both writes at the first difference, or at the start when there is none. */
  readonly first: number;
  readonly second: number;
  /** The bytes there. */
  readonly kept: number;
  readonly dropped: number;
}

/** Meetings of one kind: the first of them, and what all came to. */
export interface Meetings {
  readonly shown: readonly Meeting[];
  readonly last: Meeting | undefined;
  readonly count: number;
  readonly bytes: number;
}

/** Pieces of memory when runs share addresses (the earlier run is kept), and the places where they do. */
export interface Resolved {
  readonly pieces: Pieces;
  readonly equal: Meetings;
  readonly conflicting: Meetings;
}

export const noMeetings: Meetings = { shown: [], last: undefined, count: 0, bytes: 0 };

/** Meetings of one kind that are told one by one; the others are counted. */
const SHOWN = 100;

/**
 * The pieces that `runs` leave when the earliest write of an address is kept. Every end of a run cuts memory; each
 * run claims the cuts that nobody has claimed and meets the owners of the others. A cut holds at least one byte of
 * the run, so all of it costs no more than sorting the ends and looking at each written byte once.
 */
export function resolveRuns(runs: Runs, bytes: Uint8Array): Resolved {
  const cuts = cutsOf(runs);
  const owners = new Int32Array(cuts.length).fill(-1);
  const log = new MeetingLog(runs, bytes);
  for (let run = 0; run < runs.count; run++) {
    const end = runEnd(runs, run);
    for (let i = indexOf(cuts, runStart(runs, run)); (cuts[i] as number) < end; i++) {
      if ((owners[i] as number) < 0) owners[i] = run;
      else log.meet(owners[i] as number, run, cuts[i] as number, cuts[i + 1] as number);
    }
  }
  log.close();
  return { pieces: owned(cuts, owners), equal: log.equal, conflicting: log.conflicting };
}

/** Every start and end of a run, once each, ascending. */
function cutsOf(runs: Runs): Float64Array {
  const ends = new Float64Array(2 * runs.count);
  for (let run = 0; run < runs.count; run++) {
    ends[2 * run] = runStart(runs, run);
    ends[2 * run + 1] = runEnd(runs, run);
  }
  ends.sort();
  let count = 0;
  for (const end of ends) if (count === 0 || end !== ends[count - 1]) ends[count++] = end;
  return ends.subarray(0, count);
}

function indexOf(sorted: Float64Array, value: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((sorted[middle] as number) < value) low = middle + 1;
    else high = middle;
  }
  return low;
}

function owned(cuts: Float64Array, owners: Int32Array): Pieces {
  const { starts, lengths, sources } = roomForPieces(cuts.length);
  let count = 0;
  for (let i = 0; i + 1 < cuts.length; i++) {
    const owner = owners[i] as number;
    if (owner < 0) continue;
    const start = cuts[i] as number;
    const length = (cuts[i + 1] as number) - start;
    const last = count - 1;
    if (last >= 0 && sources[last] === owner && (starts[last] as number) + (lengths[last] as number) === start) {
      (lengths[last] as number) += length;
    } else {
      starts[count] = start;
      lengths[count] = length;
      sources[count++] = owner;
    }
  }
  return { count, starts, lengths, sources };
}

/** Meetings as they are found, those that continue each other joined. */
class MeetingLog {
  equal = noMeetings;
  conflicting = noMeetings;
  #open: Meeting | undefined;
  #lastFirst = 0;
  #lastSecond = 0;

  constructor(
    readonly runs: Runs,
    readonly bytes: Uint8Array,
  ) {}

  meet(first: number, second: number, start: number, end: number): void {
    const met = this.#compare(first, second, start, end);
    const open = this.#open;
    // Long runs are marked anew on the way: the next run in the file goes on where the last one ended.
    const goesOn =
      open &&
      open.address + open.length === start &&
      (first === this.#lastFirst || first === this.#lastFirst + 1) &&
      (second === this.#lastSecond || second === this.#lastSecond + 1);
    if (!goesOn) this.close();
    this.#open = goesOn ? longer(open, met) : met;
    this.#lastFirst = first;
    this.#lastSecond = second;
  }

  close(): void {
    const open = this.#open;
    if (!open) return;
    if (open.differing > 0) this.conflicting = withMeeting(this.conflicting, open);
    else this.equal = withMeeting(this.equal, open);
    this.#open = undefined;
  }

  #compare(first: number, second: number, start: number, end: number): Meeting {
    const a = runFrom(this.runs, first) - runStart(this.runs, first);
    const b = runFrom(this.runs, second) - runStart(this.runs, second);
    let differing = 0;
    let firstDifference: number | undefined;
    for (let address = start; address < end; address++) {
      if (this.bytes[a + address] === this.bytes[b + address]) continue;
      if (differing++ === 0) firstDifference = address;
    }
    const shown = firstDifference ?? start;
    const kept = this.bytes[a + shown] as number;
    const dropped = this.bytes[b + shown] as number;
    return { address: start, length: end - start, differing, firstDifference, first, second, kept, dropped };
  }
}

function longer(open: Meeting, next: Meeting): Meeting {
  const told = open.differing === 0 && next.differing > 0 ? next : open;
  return {
    ...told,
    address: open.address,
    length: open.length + next.length,
    differing: open.differing + next.differing,
  };
}

function withMeeting(meetings: Meetings, meeting: Meeting): Meetings {
  const shown = meetings.count < SHOWN ? [...meetings.shown, meeting] : meetings.shown;
  return { shown, last: meeting, count: meetings.count + 1, bytes: meetings.bytes + meeting.length };
}
