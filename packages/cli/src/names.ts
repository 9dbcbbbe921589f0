import { basename, dirname } from "node:path";
import {
  isPathInside,
  type MeasurementDescription,
  type NamesGiven,
  readMeasurementDescription,
  unpackedDocument,
} from "@assay/core";
import { placeInFolder } from "./files/in-folder.js";
import { STANDARD_INPUT, USUAL_LIMIT } from "./files/read.js";
import { inFile, readKept } from "./inputs.js";
import type { World } from "./world.js";

/**
 * The measurement description at `path`.
 * @throws Refusal, naming the file, when it cannot be read or does not hold together
 */
export async function readNames(world: World, path: string): Promise<NamesGiven> {
  return { file: basename(path), description: await readDescription(world, path) };
}

/** Times that files are fetched which the files fetched before ask for: deeper than they are read into each other. */
const ROUNDS = 17;

/** The description at `path` with the files that it includes, as far as they lie in its folder. */
async function readDescription(world: World, path: string): Promise<MeasurementDescription> {
  const { bytes } = await readKept(world, path, undefined);
  const text = inFile(path, () => textOf(unpackedDocument(bytes, { bytes: USUAL_LIMIT })));
  const files = new Map<string, string>();
  let left = USUAL_LIMIT - bytes.length;
  const asked = new Set<string>();
  for (let round = 0; ; round++) {
    const description = inFile(path, () => readMeasurementDescription(text, files));
    const wanted = description.missing.filter((name) => !asked.has(name));
    if (wanted.length === 0 || round === ROUNDS || path === STANDARD_INPUT) return description;
    for (const name of wanted) {
      asked.add(name);
      const place = isPathInside(name) ? placeInFolder(world, dirname(path), name, "names/outside-folder") : undefined;
      if (place === undefined) continue;
      const file = await readKept(world, place, left);
      left -= file.bytes.length;
      files.set(name, textOf(file.bytes));
    }
  }
}

/** The text of a description: in the encoding that its byte order mark says, else UTF-8, else one byte a character. */
function textOf(bytes: Uint8Array): string {
  const [first, second] = bytes;
  if (first === 0xff && second === 0xfe) return new TextDecoder("utf-16le").decode(bytes);
  if (first === 0xfe && second === 0xff) return new TextDecoder("utf-16be").decode(bytes);
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder("latin1").decode(bytes);
  }
}
