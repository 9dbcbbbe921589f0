import {
  describeUnit,
  Image,
  knownSpans,
  loadProfile,
  measureChecksums,
  type Profile,
  profileJsonSchema,
  readProfile as readingOf,
  type Span,
  type Unit,
  unconfirmedIn,
} from "@assay/core";
import { DONE } from "../exit-code.js";
import { inFile, onlyOnce, readInputs } from "../inputs.js";
import type { CommonOptions } from "../options.js";
import { outputWidth, print, printJson, tell } from "../output.js";
import { readProfile, readProfileSource } from "../profile-file.js";
import { countOf, type Run, showRun } from "../render/numbers.js";
import { picture } from "../render/picture.js";
import { safe } from "../render/safe.js";
import { table } from "../render/table.js";
import { wrap } from "../render/wrap.js";
import type { Line } from "../terminal/paint.js";
import type { World } from "../world.js";

/** Prints the JSON Schema of profiles, for editors and other programs. */
export async function profileSchema(world: World): Promise<number> {
  await printJson(world, profileJsonSchema());
  return DONE;
}

/** Says whether a profile holds together, and if not, all that is wrong with it. */
export async function profileCheck(world: World, path: string, wishes: CommonOptions): Promise<number> {
  const source = await readProfileSource(world, path, wishes);
  const { problems } = source.profile ? { problems: [] } : inFile(path, () => readingOf(source.text));
  // All of them are told; the refusal that follows names the first.
  const lines = problems.map(({ line, path: place, message }) => {
    const where = [path, line === undefined ? "" : `line ${line}`, place].filter((part) => part !== "");
    return `${where.join(", ")}: ${message}`;
  });
  await tell(world, problems.length > 1 ? lines : [], wishes);
  const profile = source.profile ?? inFile(path, () => loadProfile(source.text));
  const { id, title, regions, fields, checksums, statedChecksums, leftOut } = profile;
  const unconfirmed = unconfirmedIn(profile);
  const counts = {
    regions: regions.length,
    fields: fields.length,
    checksums: checksums.length + statedChecksums.length,
  };
  if (wishes.json)
    await printJson(world, { schema: "assay.profile-check/1", id, title, ...counts, leftOut, unconfirmed });
  else {
    const held = [
      countOf(counts.regions, "region"),
      countOf(counts.fields, "field"),
      countOf(counts.checksums, "checksum"),
    ];
    const rest = [
      ...leftOut.map((item) => `left out: ${safe(item)}`),
      ...unconfirmed.map(({ statement, why }) => `to be confirmed: ${safe(`${statement}: ${why}`)}`),
    ];
    await print(world, [`${id}: valid (${held.join(", ")})`, ...rest], wishes);
  }
  return DONE;
}

/** Pictures what a profile describes; places that depend on an image are those of `read`, when one is given. */
export async function profileShow(
  world: World,
  path: string,
  read: string | undefined,
  wishes: CommonOptions,
): Promise<number> {
  onlyOnce([path, read]);
  const profile = (await readProfile(world, path, wishes)) as Profile;
  const [input] = read === undefined ? [] : await readInputs(world, { read }, wishes, profile);
  const unit = describeUnit(input?.decoded.image ?? Image.empty, profile);
  const shown = contentOf(profile, unit);
  if (wishes.json) await printJson(world, { schema: "assay.profile-show/1", ...shown });
  else await print(world, linesOf(safe(shown), outputWidth(world)), wishes);
  return DONE;
}

const runOf = ({ start, end }: Span): Run => ({ start, length: end - start });

function contentOf(profile: Profile, unit: Unit) {
  const { id, title, source, memory } = profile;
  const { base, size } = memory;
  return {
    id,
    title,
    source,
    base,
    sizes: size === undefined ? [] : Array.isArray(size) ? size : [size],
    regions: unit.profile.regions.map(({ name, role, title: label }, i) => ({
      name,
      role,
      title: label ?? null,
      spans: (unit.regions[i]?.spans ?? []).map(runOf),
    })),
    fields: unit.fields.map((reading) => ({
      name: reading.field.name,
      title: reading.field.title ?? null,
      means: reading.field.means ?? null,
      at: "span" in reading ? runOf(reading.span) : null,
    })),
    checksums: measureChecksums(unit).map(({ name, algorithm, covered, storedAt }) => ({
      name,
      algorithm,
      // Without a read nothing is covered, and the profile may know the place all the same.
      covers: (covered.length > 0 ? covered : declaredSpans(unit, name)).map(runOf),
      at: storedAt ? runOf(storedAt) : null,
    })),
    pairing: (profile.pair?.rules ?? []).map(({ name, rule, why, over }) => ({
      name,
      rule,
      why: why ?? null,
      over: knownSpans(over, unit.around).map(runOf),
    })),
    unconfirmed: unconfirmedIn(profile),
  };
}

function declaredSpans({ profile, around }: Unit, name: string): readonly Span[] {
  const rule = profile.checksums.find((one) => one.name === name);
  return rule ? knownSpans(rule.over, around) : [];
}

/** What stands where a place cannot be told from the profile alone. */
const computed = "depends on the image";

function linesOf(shown: ReturnType<typeof contentOf>, width: number): Line[] {
  const inside = width - 2;
  const section = (title: string, lines: readonly string[]): Line[] =>
    lines.length === 0
      ? []
      : ["", [{ text: title, style: "strong" }], "", ...lines.map((line) => `  ${line}`.trimEnd())];
  const places = (runs: readonly Run[]) => (runs.length === 0 ? [computed] : runs.map(showRun));
  /** One row a place: only the first says whose it is. */
  const rows = (own: readonly string[], runs: readonly Run[]) =>
    places(runs).map((place, i) => [...(i === 0 ? own : own.map(() => "")), place]);
  const titled = (...titles: string[]) => titles.map((title) => ({ title }));
  const { regions, fields, checksums, pairing, unconfirmed } = shown;
  return [
    [`${shown.id}: `, { text: shown.title, style: "strong" }],
    ...wrap(shown.source, width),
    ...section("Memory", picture({ inputs: [], images: [{ role: "", regions }], findings: [] }, inside)),
    ...section(
      "Regions",
      table(
        titled("name", "role", "where"),
        regions.flatMap(({ name, role, spans }) => rows([name, role], spans)),
        inside,
      ),
    ),
    ...section(
      "Fields",
      table(
        titled("name", "means", "where"),
        fields.flatMap(({ name, means, at }) => rows([name, means ?? ""], at ? [at] : [])),
        inside,
      ),
    ),
    ...section(
      "Checksums",
      table(
        titled("name", "algorithm", "covers"),
        checksums.flatMap(({ name, algorithm, covers }) => rows([name, algorithm], covers)),
        inside,
      ),
    ),
    ...section(
      "Pairing",
      table(
        titled("name", "rule", "where"),
        pairing.flatMap(({ name, rule, over }) => rows([name, rule], over)),
        inside,
      ),
    ),
    ...section(
      "To be confirmed by a person",
      unconfirmed.length === 0
        ? []
        : table(
            titled("statement", "because"),
            unconfirmed.map(({ statement, why }) => [statement, why]),
            inside,
          ),
    ),
  ];
}
