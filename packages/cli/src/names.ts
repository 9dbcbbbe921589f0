import { basename } from "node:path";
import { type InputFile, type NamesGiven, type Report, readMeasurementDescription, withNames } from "@assay/core";
import { inFile, readKept } from "./inputs.js";
import type { World } from "./world.js";

/**
 * `report` with the names that the measurement description at `path` has for its differences.
 * @throws Refusal, naming the file, when it cannot be read or does not hold together
 */
export async function named(
  world: World,
  path: string,
  report: Report,
  inputs: readonly InputFile[],
  options: Pick<NamesGiven, "private" | "raised">,
): Promise<Report> {
  const { bytes } = await readKept(world, path, undefined);
  const description = inFile(path, () => readMeasurementDescription(textOf(bytes)));
  return withNames(report, { ...options, file: basename(path), description }, inputs);
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
