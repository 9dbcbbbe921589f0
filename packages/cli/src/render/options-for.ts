import type { FindingCode, RefusalCode } from "@assay/core";

type Code = FindingCode | RefusalCode;

/**
 * The option or the command that does what the words of the core advise: by code, behind which of its words it stands. The
 * core advises whoever calls it, and knows no command line.
 */
export const optionsFor: { readonly [Of in Code]?: Readonly<Record<string, string>> } = {
  "container/session-unknown": { "one of those listed": "--session" },
  "donor/software-unvouched": { "a job sheet": "--job" },
  "donor/side-unasked": { "on which side the unit is to work": "--side", "the read of its twin": "--twin" },
  "donor/twin-is-source": { "as the twin": "--twin" },
  "donor/twin-absent": { "give that read too": "--twin" },
  "draft/other-addresses": { "fill the rows that a hex file leaves out": "--fill" },
  "encode/holes": { "what fills the holes": "--fill" },
  "explain/code-unknown": { "the list of all codes": "assay explain" },
  "file/archive-too-large": { "raise the limit": "--max-size" },
  "file/base-not-raw": { "the base address": "--base" },
  "file/base-too-high": { "a lower base address": "--base" },
  "identity/sheet-unit-absent": { "its side": "--side" },
  "identity/sheet-unit-untold": { "the side of the unit": "--side" },
  "input/too-large": { "raise the limit": "--max-size" },
  "output/exists": { "have the file replaced": "--force" },
  "pair/nothing-compared": { "the base address": "--base" },
  "profile/invalid": { "Check the profile": "assay profile check" },
  "readback/nothing-compared": { "the base address": "--base" },
  "record/altered": { "Verify the record": "assay record verify" },
  "record/end-unproven": { "the last digest that a report printed": "--expect" },
  "seek/nothing-to-search": { "the base address": "--base" },
  "soundness/bytes-swapped": { "by the named layout": "--layout" },
  "soundness/reads-differ-unexplained": { "a profile": "--profile" },
  "soundness/vote-taken": { "to a file": "--out" },
  "unit/content-moved": { "the base address": "--base" },
  "unit/data-outside-memory": { "the base address": "--base" },
  "unit/profile-absent": { "a profile": "--profile", drafted: "assay draft" },
  "unit/statements-unconfirmed": { "why each is marked": "assay profile show" },
  "usage/cover-not-raw": { "what it covers": "--cover" },
  "usage/format-unsaid": { "Name the format": "--to" },
  "usage/job-without-profile": { "a profile": "--profile" },
  "usage/no-command": { "the help": "assay --help" },
  "usage/not-understood": { "the help of the command": "--help" },
  "usage/out-without-profile": { "a profile": "--profile" },
  "usage/record-unsaid": { "the record": "--record" },
  "usage/to-without-out": { "the file to write": "--out" },
  "usage/two-names": { "the parts of one": "--parts" },
};

/** `text` of `code` with what to type behind the words that it does: "Give a profile (--profile)." */
export function withOptions(code: string, text: string): string {
  const named = (optionsFor as Readonly<Record<string, Readonly<Record<string, string>> | undefined>>)[code];
  return Object.entries(named ?? {}).reduce((said, [words, typed]) => said.replace(words, `$& (${typed})`), text);
}
