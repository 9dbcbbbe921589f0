import { type JobSheet, loadJobSheet } from "@assay/core";
import { DOCUMENT_LIMIT, documentText } from "./document-text.js";
import { factsOf, inFile, readKept } from "./inputs.js";
import type { World } from "./world.js";

/**
 * The job sheet at `path`.
 * @throws Refusal, naming the file, when it cannot be read or is not understood
 */
export async function readJobSheet(world: World, path: string): Promise<JobSheet> {
  const { bytes } = await readKept(world, path, DOCUMENT_LIMIT);
  world.documents.push({ role: "job", ...factsOf(path, bytes) });
  const text = documentText(path, bytes);
  return inFile(path, () => loadJobSheet(text));
}
