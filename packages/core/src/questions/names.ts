import { MEMORY_END } from "../bytes/span.js";
import { latin1 } from "../bytes/text.js";
import type { Image } from "../image/image.js";
import type { MeasurementDescription } from "../names/description.js";
import { NameIndex } from "../names/place.js";
import type { Report } from "../report/schema.js";
import type { InputFile } from "./input.js";

/** A measurement description, under the name that its file is to have in the report. */
export interface NamesGiven {
  readonly file: string;
  readonly description: MeasurementDescription;
}

/**
 * `report` with the names of `names` at its differences. The verdict stays what it is. When the description's identifier
 * stands in one of the images otherwise, the names are those of other software: then none is given, and it is told.
 */
export function withNames(report: Report, { file, description }: NamesGiven, inputs: readonly InputFile[]): Report {
  const { project, identifier, leftOut } = description;
  const images = inputs.map(({ role, decoded }) => ({ role, fits: fitsIn(description, decoded.image) }));
  const used = images.every(({ fits }) => fits !== false);
  const told = {
    file,
    project: project ?? null,
    identifier: identifier?.text ?? null,
    images,
    used,
    leftOut: [...leftOut],
  };
  if (!used || !report.differences) return { ...report, names: told };
  const index = new NameIndex(description);
  const differences = report.differences.map((difference) => {
    const { start, length } = difference;
    const { places } = index.placesIn({ start, end: start + length });
    if (places.length === 0) return difference;
    return { ...difference, names: places.map(({ name, kind, part }) => ({ name, kind, part: part ?? null })) };
  });
  return { ...report, differences, names: told };
}

/** Whether the identifier stands at each of its addresses; null when there is none, or the image is not known there. */
function fitsIn({ identifier }: MeasurementDescription, image: Image): boolean | null {
  if (!identifier || identifier.addresses.length === 0) return null;
  const { text, addresses } = identifier;
  const there = addresses.map((start) => {
    const end = start + text.length;
    const bytes = end <= MEMORY_END ? image.read({ start, end }) : undefined;
    return bytes && latin1(bytes) === text;
  });
  return there.includes(false) ? false : there.includes(undefined) ? null : true;
}
