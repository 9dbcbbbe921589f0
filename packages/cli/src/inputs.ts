import { createHash } from "node:crypto";
import { basename } from "node:path";
import {
  type Decoded,
  type DecodeOptions,
  decode,
  decodeParts,
  type FormatName,
  flashContainerKind,
  type InputFile,
  inputOf,
  isBare,
  type PartFile,
  type PartsOptions,
  type Profile,
  Refusal,
} from "@assay/core";
import { accelerators } from "./accelerators.js";
import type { ContainerWishes } from "./files/flash-container.js";
import { type FileRead, readFile, STANDARD_INPUT, USUAL_LIMIT } from "./files/read.js";
import type { PartsName } from "./options.js";
import type { World } from "./world.js";

/** The wishes that say how files are to be read. */
export interface ReadingWishes extends Pick<DecodeOptions, "base" | "layout"> {
  readonly from?: FormatName;
  /** Which session of a flash container. */
  readonly session?: string;
  readonly maxSize?: number;
}

/** How part files make one read, by the word on the command line; a test holds the list of words to this one. */
const partsMeaning = {
  interleaved: { arrangement: "interleaved", unit: 1 },
  "interleaved-16": { arrangement: "interleaved", unit: 2 },
  joined: { arrangement: "joined" },
} as const satisfies Readonly<Record<PartsName, Pick<PartsOptions, "arrangement" | "unit">>>;

/**
 * The files at `paths`, decoded, each in its role. A raw file begins at the base of `profile` where nobody gave one; a
 * text file says itself where its bytes go. A layout is that of every file.
 * @throws Refusal when one cannot be read or decoded, or a base was given and none is raw
 */
export async function readInputs(
  world: World,
  paths: Readonly<Record<string, string>>,
  wishes: ReadingWishes,
  profile?: Profile,
): Promise<InputFile[]> {
  const { from: format, layout, maxSize: limit = USUAL_LIMIT } = wishes;
  const reading = { format, layout, limit, base: wishes.base ?? profile?.memory.base };
  const inputs: InputFile[] = [];
  for (const [role, path] of Object.entries(paths)) {
    const { bytes } = await readKept(world, path, wishes.maxSize);
    const kind = wishes.from === undefined ? flashContainerKind(bytes) : undefined;
    inputs.push(
      kind
        ? {
            role,
            ...factsOf(path, bytes),
            decoded: await fromContainer(path, wishes, (code, limits) =>
              code.readSessionImage(world, path, bytes, kind, limits),
            ),
          }
        : inFile(path, () => inputOf(role, shownName(path), bytes, reading, accelerators)),
    );
  }
  if (wishes.base !== undefined && !inputs.some(({ decoded }) => isBare(decoded.format))) {
    const formats = [...new Set(inputs.map(({ decoded }) => decoded.format))].join(" and ");
    throw new Refusal("file/base-not-raw", `--base: expected a raw file with it, got ${formats}`);
  }
  return inputs;
}

/**
 * The read whose part files are at `paths`, in their order.
 * @throws Refusal when one cannot be read or decoded, or they do not fit together
 */
export async function readParts(
  world: World,
  paths: readonly string[],
  arrangement: PartsName,
  { from: format, base, layout, maxSize }: ReadingWishes,
  profile?: Profile,
): Promise<InputFile> {
  const parts: (PartFile & { decoded: Decoded })[] = [];
  const digest = createHash("sha256");
  for (const path of paths) {
    const { bytes } = await readKept(world, path, maxSize);
    digest.update(bytes);
    const decoded = inFile(path, () => decode(bytes, { format, limit: maxSize ?? USUAL_LIMIT }));
    parts.push({ ...factsOf(path, bytes), decoded });
  }
  return {
    role: "read",
    name: parts.map(({ name }) => name).join(" + "),
    bytes: parts.reduce((total, { bytes }) => total + bytes, 0),
    sha256: digest.digest("hex"),
    decoded: decodeParts(
      parts.map(({ decoded }) => decoded),
      { ...partsMeaning[arrangement], base: base ?? profile?.memory.base, layout },
    ),
    parts,
  };
}

/** What a report and a record say of the file at `path`. */
export function factsOf(path: string, bytes: Uint8Array) {
  return { name: shownName(path), bytes: bytes.length, sha256: createHash("sha256").update(bytes).digest("hex") };
}

/** A report is passed on: it names the file and not the folders that it lay in. */
function shownName(path: string): string {
  return path === STANDARD_INPUT ? "standard input" : basename(path);
}

/** What `work` gives of the container at `path`; what it needs is loaded now, and a refusal names the file. */
export async function fromContainer<Value>(
  path: string,
  { session, maxSize = USUAL_LIMIT }: Pick<ReadingWishes, "session" | "maxSize">,
  work: (code: typeof import("./files/flash-container.js"), wishes: ContainerWishes) => Promise<Value>,
): Promise<Value> {
  try {
    return await work(await import("./files/flash-container.js"), { session, limit: maxSize });
  } catch (error) {
    throw error instanceof Refusal ? error.inFile(error.place.file ?? path) : error;
  }
}

/** The file at `path`, whole, kept as an input of this run. */
export async function readKept(world: World, path: string, limit: number | undefined): Promise<FileRead> {
  const file = await readFile(world, path, limit);
  if (file.source) world.kept.push(file.source);
  return file;
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
