import { basename, dirname, join } from "node:path";
import {
  appendRecord,
  checkRecordable,
  type RecordReading,
  Refusal,
  type Report,
  readRecord,
  recordEntryOf,
} from "@assay/core";
import { foldedPlace } from "./files/identity.js";
import { lockFile } from "./files/lock.js";
import { systemRefusal } from "./files/problem.js";
import { type FileRead, readFile } from "./files/read.js";
import { type Target, targetAt } from "./files/target.js";
import { writeFile } from "./files/write.js";
import { inFile } from "./inputs.js";
import type { World } from "./world.js";

/** How somebody wants a run to be recorded. */
export interface RecordWishes {
  readonly record?: string;
  readonly operator?: string;
  readonly note?: string;
}

/** The largest file that is read as a record: more bytes than the core's limit of characters can have. */
const sizeLimit = 48 * 2 ** 20;

/**
 * Looks before a run whether it can be recorded, so that nothing is written first and then not recorded; and has the
 * record among the files that nothing else is written over.
 * @throws Refusal when an entry could not be added as things stand
 */
export async function expectRecord(world: World, { record: path, operator, note }: RecordWishes): Promise<void> {
  if (path === undefined) {
    const needless = operator === undefined ? "--note" : "--operator";
    if (operator === undefined && note === undefined) return;
    throw new Refusal("usage/record-unsaid", `${needless}: expected --record FILE with it, got none`);
  }
  const target = recordTarget(world, path);
  const text = target.kind === "replace" ? await recordFileText(world, target.path, path) : undefined;
  inFile(path, () => checkRecordable(text, { time: world.now().toISOString(), operator, note }));
  const { files } = world;
  const stats = target.kind === "replace" ? files.statSync(target.path, { bigint: true }) : undefined;
  const identity = stats && { device: stats.dev, inode: stats.ino };
  world.kept.push({ name: path, kind: "record", identity, place: foldedPlace(files, path) });
}

/**
 * Enters the run that came to `report` in the record, and gives the report with the entry's digest. The file is
 * replaced as a whole; of two runs at once one waits for the other.
 * @throws Refusal when it could not be entered; the file is then as it was
 */
export async function recordRun(world: World, report: Report, path: string, wishes: RecordWishes): Promise<Report> {
  const release = await lockFile(world, unlinked(world, recordTarget(world, path)));
  try {
    const target = recordTarget(world, path);
    const text = target.kind === "replace" ? await recordFileText(world, target.path, path) : undefined;
    const { operator, note } = wishes;
    const facts = { time: world.now().toISOString(), operator, note, documents: world.documents };
    const appended = inFile(path, () => appendRecord(text, recordEntryOf(report, facts)));
    await writeFile(world, target, Buffer.from(appended.text, "utf8"));
    return { ...report, record: { name: basename(path), entry: appended.number, digest: appended.digest } };
  } finally {
    release();
  }
}

/** Where a run was entered, in words. The digest stands last: it is what somebody notes elsewhere. */
export function enteredText({ record }: Report): string[] {
  return record ? [`entered in ${record.name} as entry ${record.entry}, with the digest ${record.digest}`] : [];
}

/** The record at `path`, for looking at it. */
export async function readRecordFile(world: World, path: string): Promise<RecordReading> {
  const text = await recordFileText(world, path, path);
  return inFile(path, () => readRecord(text));
}

/** A record is read before it is written, so it is a file or a free name. Only as a record may it be written to. */
function recordTarget(world: World, path: string): Target & { kind: "new" | "replace" } {
  if (path === "") throw new Refusal("record/not-a-file", "--record: expected the name of a file, got nothing");
  const inputs = world.kept.filter(({ kind }) => kind === "input");
  const target = targetAt({ ...world, kept: inputs }, path, true);
  if (target.kind === "new" || target.kind === "replace") return target;
  const got = target.kind === "stdout" ? "standard output" : "a device or a pipe";
  throw new Refusal("record/not-a-file", `expected a file that can be read and replaced, got ${got}`, { file: path });
}

/** The one name of the place, through whatever links it was named. */
function unlinked({ files }: World, { kind, path }: Target & { kind: "new" | "replace" }): string {
  if (kind === "replace") return path;
  try {
    return join(files.realpathSync.native(dirname(path)), basename(path));
  } catch (error) {
    throw systemRefusal("record/unwritable", path, "a place to write to", error);
  }
}

async function recordFileText(world: World, path: string, name: string): Promise<string> {
  const { bytes } = await readSettled(world, path);
  try {
    // A mark at the beginning is no part of a record: it stays, and shows.
    return new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    throw new Refusal("input/not-text", "expected text in UTF-8, got other bytes", { file: name });
  }
}

/** The file, read again when another run replaced it meanwhile: each run has it for a moment only. */
async function readSettled(world: World, path: string): Promise<FileRead> {
  for (let left = 100; ; left--) {
    try {
      return await readFile(world, path, sizeLimit);
    } catch (error) {
      if (left === 0 || !(error instanceof Refusal) || error.code !== "input/changed-while-reading") throw error;
      await world.pause(5);
    }
  }
}
