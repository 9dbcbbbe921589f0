import { flashContainerKind, loadProfile, type Profile } from "@assay/core";
import { documentText } from "./document-text.js";
import { USUAL_LIMIT } from "./files/read.js";
import { factsOf, fromContainer, inFile, type ReadingWishes, readKept } from "./inputs.js";
import type { World } from "./world.js";

/** A profile as it lies in its file: its text, or what a flash container says. */
export type ProfileSource =
  | { readonly text: string; readonly profile: undefined }
  | { readonly text: undefined; readonly profile: Profile };

/**
 * The profile at `path`, not yet understood when it is a text of its own.
 * @throws Refusal, naming the file, when it cannot be read
 */
export async function readProfileSource(
  world: World,
  path: string,
  wishes: Pick<ReadingWishes, "session" | "maxSize">,
): Promise<ProfileSource> {
  const { bytes } = await readKept(world, path, USUAL_LIMIT);
  world.documents.push({ role: "profile", ...factsOf(path, bytes) });
  const kind = flashContainerKind(bytes);
  if (!kind) return { text: documentText(path, bytes), profile: undefined };
  const profile = await fromContainer(path, wishes, (code, limits) =>
    code.readContainerProfile(world, path, bytes, kind, limits),
  );
  return { text: undefined, profile };
}

/** The profile at `path`, or undefined when there is no path. `wishes` say which session of a flash container. */
export async function readProfile(
  world: World,
  path: string | undefined,
  wishes: Pick<ReadingWishes, "session" | "maxSize">,
): Promise<Profile | undefined> {
  if (path === undefined) return undefined;
  const { text, profile } = await readProfileSource(world, path, wishes);
  return profile ?? inFile(path, () => loadProfile(text));
}
