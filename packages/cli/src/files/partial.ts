import { randomBytes } from "node:crypto";
import { join } from "node:path";
import type { World } from "../world.js";

/** The beginning of the name of a file that is not complete yet. */
export const PARTIAL_PREFIX = ".assay-";

const ofProcess = /^\.assay-([0-9a-f]{16})-([0-9]{1,10})-[0-9a-f]{16}\.partial$/;

/** A free name for a file that is not complete yet. It says whose it is: the place of the process, and its number. */
export function partialName({ processes: { place, own } }: World): string {
  return `${PARTIAL_PREFIX}${place}-${own}-${randomBytes(8).toString("hex")}.partial`;
}

/**
 * Removes what runs that were killed left behind in `folder`: incomplete files of processes of this place that are no
 * more. Whoever is gone cannot need it; files of others, and what cannot be removed, stay.
 */
export function removePartialsOfTheDead({ files, processes }: World, folder: string): void {
  try {
    for (const name of files.readdirSync(folder)) {
      const [, place, number] = ofProcess.exec(name) ?? [];
      if (place === processes.place && !processes.isRunning(Number(number))) files.unlinkSync(join(folder, name));
    }
  } catch {
    // A folder may be written to and not listed; two may be removing the same.
  }
}
