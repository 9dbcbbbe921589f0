import { checkProfile } from "./check.js";
import { jsonSchemaOf, type ProblemAt, readDocument, refusalOf, shapeOf } from "./document.js";
import { type Profile, type ProfileDocument, profileSchema } from "./schema/profile.js";

/** A profile, or everything that is wrong with it. */
export type ProfileReading =
  | { readonly profile: Profile; readonly problems: readonly [] }
  | { readonly profile: undefined; readonly problems: readonly ProblemAt[] };

/**
 * Reads a profile from its JSON text and reports all that is wrong with it, by line.
 * @throws Refusal when the text is no strict JSON
 */
export function readProfile(text: string): ProfileReading {
  const { document, problems } = readDocument(text, profileSchema, checkProfile);
  return document ? { profile: document, problems: [] } : { profile: undefined, problems };
}

/**
 * The profile that `text` holds.
 * @throws Refusal for the first thing that is wrong with it, with the count of the others
 */
export function loadProfile(text: string): Profile {
  const { profile, problems } = readProfile(text);
  if (profile) return profile;
  throw refusalOf("profile/invalid", problems);
}

/** The profile that `document` says, or undefined when it does not hold together. */
export function profileOf(document: ProfileDocument): Profile | undefined {
  const shaped = shapeOf(profileSchema, document);
  return shaped.success && checkProfile(shaped.data).length === 0 ? shaped.data : undefined;
}

/** The JSON Schema (draft 2020-12) of a profile as it is written. */
export function profileJsonSchema(): object {
  return jsonSchemaOf(profileSchema);
}
