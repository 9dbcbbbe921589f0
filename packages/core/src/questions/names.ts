import { MEMORY_END } from "../bytes/span.js";
import { latin1 } from "../bytes/text.js";
import type { Image } from "../image/image.js";
import type { MeasurementDescription } from "../names/description.js";
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
  const differences = report.differences.map((difference) => {
    const { start, length } = difference;
    const { places } = index.placesIn({ start, end: start + length });
    if (places.length === 0) return difference;
    return { ...difference, names: places.map(({ name, kind, part }) => ({ name, kind, part: part ?? null })) };
  });
  return { ...checked, differences, names: told };
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
