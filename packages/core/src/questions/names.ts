import { MEMORY_END, overlap } from "../bytes/span.js";
import { latin1 } from "../bytes/text.js";
import { readBigUint } from "../bytes/word.js";
import type { Image } from "../image/image.js";
import type { MeasurementDescription } from "../names/description.js";
import type { StoredCount } from "../names/laid-out.js";
import { NameIndex } from "../names/place.js";
import { withChecks } from "../report/assemble.js";
import type { Report } from "../report/schema.js";
import { type NamesQuestion, namesRules } from "../rules/names.js";
import { ask } from "../rules/rule.js";
import type { Raised } from "../verdict/verdict.js";
import type { InputFile } from "./input.js";

/** A measurement description, under the name that its file is to have in the report. */
export interface NamesGiven {
  readonly file: string;
  readonly description: MeasurementDescription;
  /** Whether what stands in an image instead of the identifier is not to be shown. */
  readonly private?: boolean | undefined;
  /** The findings that the profile raises. */
  readonly raised?: Raised | undefined;
}

/**
 * `report` with the names of `names` at its differences. When the description's identifier stands in one of the images
 * otherwise, the names are those of other software: then none is given, a finding says so, and the verdict is no better
 * than review.
 */
export function withNames(
  report: Report,
  { file, description, raised, ...options }: NamesGiven,
  inputs: readonly InputFile[],
): Report {
  const { project, identifier, leftOut } = description;
  const asked = inputs.map(({ role, decoded }) => ({ role, places: placesIn(description, decoded.image, options) }));
  const checked = withChecks(
    report,
    asked.flatMap(({ role, places }) => ask(namesRules, role, { file, identifier: identifier?.text, places })),
    raised,
  );
  const images = asked.map(({ role, places }) => ({ role, fits: fitOf(places) }));
  const used = images.every(({ fits }) => fits !== false);
  const told = {
    file,
    project: project ?? null,
    identifier: identifier?.text ?? null,
    images,
    used,
    leftOut: [...leftOut],
  };
  if (!used || !report.differences) return { ...checked, names: told };
  const index = new NameIndex(description);
  const holds = (count: StoredCount) => inputs.every(({ decoded }) => stores(decoded.image, count, description.order));
  const differences = report.differences.map((difference) => {
    const { start, length } = difference;
    const span = { start, end: start + length };
    const { places } = index.placesIn(span, holds);
    const names = places.map(({ name, kind, part }) => ({ name, kind, part: part ?? null }));
    // What no object names lies in a segment of the memory at least.
    const within = names.length > 0 ? [] : description.segments.filter((segment) => overlap(segment.span, span));
    const segments = within.map(({ name, purpose, memory }) => ({
      name: `${name} (${purpose}, ${memory})`,
      kind: "segment" as const,
      part: null,
    }));
    if (names.length + segments.length === 0) return difference;
    // What a description names is known; what the place looks like is a guess.
    const { table, ...known } = difference;
    return { ...known, ...(table && names.length === 0 && { table }), names: [...names, ...segments] };
  });
  return { ...checked, differences, names: told };
}

/** Whether the memory holds that number: in either byte order, where the description does not say which. */
function stores(image: Image, { span, number }: StoredCount, order: MeasurementDescription["order"]): boolean {
  const bytes = image.read(span);
  const orders = order ? [order] : (["little", "big"] as const);
  return bytes !== undefined && orders.some((one) => readBigUint(bytes, one) === BigInt(number));
}

/** What stands at each address of the identifier. */
function placesIn(
  { identifier }: MeasurementDescription,
  image: Image,
  options: Pick<NamesGiven, "private">,
): NamesQuestion["places"] {
  const { text = "", addresses = [] } = identifier ?? {};
  return addresses.map((start) => {
    const span = { start, end: Math.min(start + text.length, MEMORY_END) };
    const bytes = image.read(span);
    const held = bytes && latin1(bytes);
    return { span, fits: held === undefined ? undefined : held === text, found: options.private ? undefined : held };
  });
}

/** Whether the identifier stands at each of its addresses; null when there is none, or the image is not known there. */
function fitOf(places: NamesQuestion["places"]): boolean | null {
  const fits = places.map((place) => place.fits);
  return fits.includes(false) ? false : fits.length === 0 || fits.includes(undefined) ? null : true;
}
