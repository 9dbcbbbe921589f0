import { createHash } from "node:crypto";
import { basename } from "node:path";
import {
  type DecodeOptions,
  decode,
  type InputFile,
  type JobSheet,
  loadJobSheet,
  loadProfile,
  type Profile,
  Refusal,
} from "@assay/core";
import { type FileRead, readFile, STANDARD_INPUT, USUAL_LIMIT } from "./files/read.js";
import type { World } from "./world.js";

/** A file with the part that it plays, as a question takes it, and as it was read. */
export interface Input {
  readonly file: FileRead;
  readonly input: InputFile;
}

/** The wishes that say how files are to be read. */
export interface ReadingWishes extends Pick<DecodeOptions, "format" | "base" | "layout"> {
  readonly maxSize?: number;
}

/** The largest document that somebody wrote: a profile with thousands of releases stays far below. */
const documentLimit = 16 * 2 ** 20;

/**
 * The files at `paths`, decoded, each in its role. Base and layout are for the raw ones among them: a text file says
 * itself where its bytes go. Raw files begin at the base of `profile` where nobody gave one.
 * @throws Refusal when one cannot be read or decoded, or a base or layout was given and none is raw
 */
export async function readInputs(
  world: World,
  paths: Readonly<Record<string, string>>,
  wishes: ReadingWishes,
  profile?: Profile,
): Promise<Input[]> {
  const reading = { ...wishes, base: wishes.base ?? profile?.memory.base };
  const inputs: Input[] = [];
  for (const [role, path] of Object.entries(paths)) inputs.push(await readInput(world, path, role, reading));
  const needless = (["base", "layout"] as const).find((name) => wishes[name] !== undefined);
  if (needless !== undefined && !inputs.some(({ input }) => input.decoded.format === "raw")) {
    const formats = [...new Set(inputs.map(({ input }) => input.decoded.format))].join(" and ");
    throw new Refusal(`file/${needless}-not-raw`, `--${needless}: expected a raw file with it, got ${formats}`);
  }
  return inputs;
}

async function readInput(world: World, path: string, role: string, wishes: ReadingWishes): Promise<Input> {
  const file = await readKept(world, path, wishes.maxSize);
  // A report is passed on: it names the file and not the folders that it lay in.
  const name = path === STANDARD_INPUT ? "standard input" : basename(path);
  const sha256 = createHash("sha256").update(file.bytes).digest("hex");
  const decoded = inFile(path, () => decodeAs(file.bytes, wishes));
  return { file, input: { role, name, bytes: file.bytes.length, sha256, decoded } };
}

function decodeAs(bytes: Uint8Array, { format = "auto", base, layout, maxSize = USUAL_LIMIT }: ReadingWishes) {
  const decoded = decode(bytes, { format, limit: maxSize });
  if (decoded.format !== "raw" || (base === undefined && layout === undefined)) return decoded;
  return decode(bytes, { format: "raw", base, layout, limit: maxSize });
}

/** The profile at `path`, or undefined when there is no path. */
export function readProfile(world: World, path: string | undefined): Promise<Profile | undefined> {
  return readDocument(world, path, loadProfile);
}

/** The job sheet at `path`; undefined when there is no path. */
export function readJob(world: World, path: string | undefined): Promise<JobSheet | undefined> {
  return readDocument(world, path, loadJobSheet);
}

/**
 * The document at `path` as `understand` reads its text, or undefined when there is no path.
 * @throws Refusal, naming the file, when it cannot be read, is not UTF-8 or is not understood
 */
export async function readDocument<Content>(
  world: World,
  path: string | undefined,
  understand: (text: string) => Content,
): Promise<Content | undefined> {
  if (path === undefined) return undefined;
  const { bytes } = await readKept(world, path, documentLimit);
  return inFile(path, () => understand(utf8(bytes)));
}

async function readKept(world: World, path: string, limit: number | undefined): Promise<FileRead> {
  const file = await readFile(world, path, limit);
  if (file.source) world.kept.push(file.source);
  return file;
}

function utf8(bytes: Uint8Array): string {
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    throw new Refusal("input/not-text", "expected text in UTF-8, got other bytes");
  }
}

/** What `work` gives; a refusal from it names `file`. */
export function inFile<Value>(file: string, work: () => Value): Value {
  try {
    return work();
  } catch (error) {
    throw error instanceof Refusal ? error.inFile(file) : error;
  }
}

/**
 * That standard input is asked for once at most: it cannot be read twice.
 * @throws Refusal otherwise
 */
export function onlyOnce(paths: readonly (string | undefined)[]): void {
  const asked = paths.filter((path) => path === STANDARD_INPUT).length;
  if (asked > 1) throw new Refusal("input/stdin-twice", `expected - for one file at most, got it ${asked} times`);
}
