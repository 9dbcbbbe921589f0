import { createHash } from "node:crypto";
import { basename } from "node:path";
import {
  type Draft,
  describeUnit,
  draftProfile,
  familyOf,
  type Image,
  type InputFile,
  isBare,
  knownSpans,
  loadProfile,
  measureChecksums,
  mostDraftReads,
  type OldProfile,
  Refusal,
  reportInput,
  type SeekResult,
  type Span,
} from "@assay/core";
import { DONE } from "../exit-code.js";
import { refuseDamage } from "../files/damage.js";
import { STANDARD_OUTPUT, targetAt } from "../files/target.js";
import { writeFile } from "../files/write.js";
import { inFile, onlyOnce, readInputs } from "../inputs.js";
import type { CommonOptions } from "../options.js";
import { outputWidth, print, printJson } from "../output.js";
import { readProfileSource } from "../profile-file.js";
import { type Drafted, renderDraft } from "../render/draft.js";
import { safe } from "../render/safe.js";
import { filled } from "../seek/filled.js";
import { search } from "../seek/search.js";
import type { World } from "../world.js";

export interface DraftWishes extends CommonOptions {
  readonly pair?: readonly string[];
  readonly same?: readonly string[];
  readonly fill?: number;
}

/** Drafts a profile from reads of one family, writes it where that is asked for, and says how sure it is. */
export async function draft(world: World, given: readonly string[], wishes: DraftWishes): Promise<number> {
  const { pair = [], same = [], out } = wishes;
  const paths = [...new Set([...given, ...pair, ...same])];
  if (paths.length > mostDraftReads) {
    throw new Refusal(
      "usage/too-many-reads",
      `expected at most ${mostDraftReads} reads of one family, got ${paths.length}`,
    );
  }
  if (out === STANDARD_OUTPUT && wishes.json) {
    throw new Refusal("usage/output-twice", "expected --json or an output of -, got both for one standard output");
  }
  onlyOnce(paths);
  const couples = {
    pairs: inTwos(paths, pair, "--pair LEFT RIGHT"),
    same: inTwos(paths, same, "--same EARLIER LATER"),
  };
  const roles = Object.fromEntries(paths.map((path, i) => [`read-${i + 1}`, path]));
  const old = await readOld(world, wishes.profile);
  const inputs = await readInputs(world, roles, wishes, old?.profile);
  for (const [i, input] of inputs.entries()) refuseDamage("draft/damaged", paths[i] as string, input);
  const target = out === undefined ? undefined : targetAt(world, out, wishes.force === true);
  const { memory } = old?.profile ?? {};
  const fill = wishes.fill ?? (memory?.holes === "erased" ? memory.erased : undefined);
  const images = imagesOf(inputs, paths, fill);
  const reads = images.map((image, i) => ({ name: nameOf(inputs, i), image }));
  const names = { id: idFrom(out), title: `Drafted from ${reads.length} reads` };
  // What is told is looked at before the search, which takes long.
  familyOf(reads, couples);
  const result = await search(world, images, wishes);
  const drafted = draftProfile(reads, couples, result.found, names, old);
  const text = `${JSON.stringify(drafted.document, null, 2)}\n`;
  const bytes = Buffer.from(text, "utf8");
  if (target) await writeFile(world, target, bytes);
  const written =
    out === undefined
      ? null
      : { file: out, bytes: bytes.length, sha256: createHash("sha256").update(bytes).digest("hex") };
  if (wishes.json) await printJson(world, answerOf(inputs, drafted, result, written));
  else if (!wishes.quiet && out !== STANDARD_OUTPUT) {
    await print(
      world,
      renderDraft(safe(shownOf(drafted, images[0] as Image, result, written)), outputWidth(world)),
      wishes,
    );
  }
  return DONE;
}

/**
 * The profile at `path` with its text; undefined when there is no path.
 * @throws Refusal when it cannot be read, does not hold together, or is a flash container, to which nothing is added
 */
async function readOld(world: World, path: string | undefined): Promise<OldProfile | undefined> {
  if (path === undefined) return undefined;
  const { text } = await readProfileSource(world, path, {});
  if (text === undefined) {
    throw new Refusal("draft/container", "--profile: expected a profile of its own, got a flash container", {
      file: path,
    });
  }
  return inFile(path, () => ({ profile: loadProfile(text), document: JSON.parse(text.replace(/^\uFEFF/, "")) }));
}

/** What a read is called: two files of one name in two folders are told apart by their place. */
function nameOf(inputs: readonly InputFile[], i: number): string {
  const { name = "", role = "" } = inputs[i] ?? {};
  return inputs.some((other, k) => k !== i && other.name === name) ? `${name} (${role})` : name;
}

function answerOf(
  inputs: readonly InputFile[],
  { document, family, processor, variation, unconfirmed, held, added, doubts, undecided, next }: Draft,
  { searched }: SeekResult,
  written: object | null,
) {
  return {
    schema: "assay.draft/1",
    inputs: inputs.map(reportInput),
    written,
    profile: document,
    units: family.units,
    processor: { name: processor.name ?? null, order: processor.order ?? null, certainty: processor.certainty },
    variation,
    unconfirmed,
    ...(held && { held, added }),
    doubts,
    undecided,
    searched,
    next,
  };
}

/** What of a draft is drawn, with every place as it lies in `image`. */
function shownOf(drafted: Draft, image: Image, { searched }: SeekResult, written: Drafted["written"]): Drafted {
  const { document: _, ...draft } = drafted;
  const unit = describeUnit(image, drafted.profile);
  const marked = new Set(drafted.unconfirmed.map(({ path }) => path));
  const toConfirm = (path: string) => marked.has(path);
  const checksums = measureChecksums(unit);
  const run = ({ start, end }: Span) => ({ start, length: end - start });
  return {
    ...draft,
    searched,
    written,
    regions: unit.regions.map(({ name, role, spans }, i) => ({
      name,
      role,
      spans: spans.map(run),
      toConfirm: toConfirm(`regions[${i}]`),
    })),
    fields: unit.fields.map((reading, i) => ({
      name: reading.field.name,
      means: reading.field.means ?? reading.field.type,
      spans: "span" in reading ? [run(reading.span)] : [],
      toConfirm: toConfirm(`fields[${i}]`),
    })),
    checksums: checksums.map(({ name, algorithm, covered, storedAt }) => ({
      name,
      algorithm,
      spans: covered.map(run),
      storedAt: storedAt ? run(storedAt) : undefined,
      toConfirm: toConfirm(`checksums[${drafted.profile.checksums.findIndex((rule) => rule.name === name)}]`),
    })),
    rules: (drafted.profile.pair?.rules ?? []).map(({ name, rule, over }, i) => ({
      name,
      rule,
      spans: knownSpans(over, unit.around).map(run),
      toConfirm: toConfirm(`pair.rules[${i}]`),
    })),
  };
}

/** The reads that `named` names two by two, by their place in `paths`. */
function inTwos(paths: readonly string[], named: readonly string[], usage: string): (readonly [number, number])[] {
  if (named.length % 2 !== 0) {
    throw new Refusal("usage/two-names", `${usage}: expected two files each time, got ${named.length} in all`);
  }
  return Array.from({ length: named.length / 2 }, (_, i) => [
    paths.indexOf(named[2 * i] as string),
    paths.indexOf(named[2 * i + 1] as string),
  ]);
}

/** The images with what hex files leave out filled; a raw file leaves nothing out. */
function imagesOf(inputs: readonly InputFile[], paths: readonly string[], fill: number | undefined) {
  const images = inputs.map(({ decoded }) => decoded.image);
  const bounds = images.flatMap(({ bounds: own }) => own ?? []);
  const all: Span | undefined =
    bounds.length === 0
      ? undefined
      : { start: Math.min(...bounds.map(({ start }) => start)), end: Math.max(...bounds.map(({ end }) => end)) };
  return images.map((image, i) =>
    isBare(inputs[i]?.decoded.format ?? "raw") ? image : filled(image, fill, paths[i] as string, all),
  );
}

/** A profile is called by its file. */
function idFrom(out: string | undefined): string {
  const stem = basename(out ?? "draft", ".json")
    .toLowerCase()
    .replace(/[^a-z0-9.-]+/g, "-")
    .replace(/^[^a-z0-9]+/, "");
  return stem.slice(0, 64) || "draft";
}
