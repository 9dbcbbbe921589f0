import { isAbsolute, join, relative, sep } from "node:path";
import { Refusal, type RefusalCode } from "@assay/core";
import type { World } from "../world.js";
import { systemRefusal } from "./problem.js";

/**
 * Where the file `name` of the folder `folder` lies; undefined when there is none.
 * @throws Refusal of that code when a link leads out of the folder
 */
export function placeInFolder({ files }: World, folder: string, name: string, code: RefusalCode): string | undefined {
  const place = join(folder, name);
  try {
    const inside = relative(files.realpathSync.native(folder), files.realpathSync.native(place));
    if (inside !== ".." && !inside.startsWith(`..${sep}`) && !isAbsolute(inside)) return place;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ENOENT") return undefined;
    throw systemRefusal("input/unreadable", place, "a file that can be read", error);
  }
  throw new Refusal(code, "expected a file in the folder of what names it, got a link out of it", {
    file: place,
  });
}
