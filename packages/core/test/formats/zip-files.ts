import { zipSync } from "fflate";

/** A zip archive of these files, deflated. */
export function zipOf(files: Readonly<Record<string, Uint8Array>>): Uint8Array {
  return zipSync(Object.fromEntries(Object.entries(files)));
}
