import * as z from "zod";
import { Refusal } from "../findings/refusal.js";
import { checkProfile, type Problem } from "./check.js";
import { readJson } from "./json.js";
import { problemsOf } from "./problems.js";
import { type Profile, profileSchema } from "./schema/profile.js";

/** A profile, or everything that is wrong with it. */
export type ProfileReading =
  | { readonly profile: Profile; readonly problems: readonly [] }
  | { readonly profile: undefined; readonly problems: readonly (Problem & { readonly line?: number })[] };

/**
 * Reads a profile from its JSON text and reports all that is wrong with it, not only the first thing.
 * @throws Refusal when the text is no strict JSON
 */
export function readProfile(text: string): ProfileReading {
  const { value, lineOf } = readJson(text);
  const shaped = profileSchema.safeParse(value);
  const problems = shaped.success ? checkProfile(shaped.data) : problemsOf(shaped.error, value);
  if (shaped.success && problems.length === 0) return { profile: shaped.data, problems: [] };
  return {
    profile: undefined,
    problems: problems.map((problem) => {
      const line = lineOf(problem.path);
      return line === undefined ? problem : { ...problem, line };
    }),
  };
}

/**
 * The profile that `text` holds.
 * @throws Refusal for the first thing that is wrong with it, with the count of the others
 */
export function loadProfile(text: string): Profile {
  const { profile, problems } = readProfile(text);
  if (profile) return profile;
  const first = problems[0];
  const more = problems.length > 1 ? ` (and ${problems.length - 1} more)` : "";
  const { path = "", message = "expected a profile", line } = first ?? {};
  const place = path === "" ? "document" : path;
  throw new Refusal("profile/invalid", `${place}: ${message}${more}`, { path, ...(line !== undefined && { line }) });
}

/** The JSON Schema (draft 2020-12) of a profile as it is written. */
export function profileJsonSchema(): object {
  return z.toJSONSchema(profileSchema, { target: "draft-2020-12", io: "input", unrepresentable: "any" });
}
