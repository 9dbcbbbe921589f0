import { overlap, type Span } from "../bytes/span.js";
import type { MeasurementDescription } from "../names/description.js";
import { identifierFits, identifierPlaces } from "../names/identifier.js";
import { NameIndex } from "../names/place.js";
import { isStored } from "../names/stored-count.js";
import type { PlaceNames } from "../report/differences.js";
import { namesRules } from "../rules/names.js";
import { ask, type Check } from "../rules/rule.js";
import type { InputFile } from "./input.js";

/** A measurement description, under the name that its file is to have in the report. */
export interface NamesGiven {
  readonly file: string;
  readonly description: MeasurementDescription;
}

/**
 * What the description of `given` calls the places of `inputs`, and whether it is of their software. When its identifier
 * stands in one of the images otherwise, the names are those of other software: then there are none, and a finding says
 * so. `masked` does not show what stands in an image instead of the identifier.
 */
export function askNames(
  given: NamesGiven | undefined,
  inputs: readonly InputFile[],
  masked: boolean | undefined,
): { readonly checks: readonly Check[]; readonly names: PlaceNames | undefined } {
  if (!given) return { checks: [], names: undefined };
  const { file, description } = given;
  const { project, identifier, leftOut } = description;
  const asked = inputs.map(({ role, decoded }) => ({ role, places: identifierPlaces(description, decoded.image) }));
  const images = asked.map(({ role, places }) => ({ role, fits: identifierFits(places) ?? null }));
  const used = images.every(({ fits }) => fits !== false);
  return {
    checks: asked.flatMap(({ role, places }) =>
      ask(namesRules, role, {
        file,
        identifier: identifier?.text,
        places: masked ? places.map((place) => ({ ...place, found: undefined })) : places,
      }),
    ),
    names: {
      told: {
        file,
        project: project ?? null,
        identifier: identifier?.text ?? null,
        images,
        used,
        leftOut: [...leftOut],
      },
      of: used ? namesIn(description, inputs) : () => [],
    },
  };
}

function namesIn(description: MeasurementDescription, inputs: readonly InputFile[]): PlaceNames["of"] {
  const { segments, order } = description;
  const index = new NameIndex(description);
  return (span: Span) => {
    const { places } = index.placesIn(span, (count) =>
      inputs.every(({ decoded }) => isStored(count, decoded.image, order)),
    );
    if (places.length > 0) return places.map(({ name, kind, part }) => ({ name, kind, part: part ?? null }));
    // What no object names lies in a segment of the memory at least.
    return segments
      .filter((segment) => overlap(segment.span, span))
      .map(({ name, purpose, memory }) => ({
        name: `${name} (${purpose}, ${memory})`,
        kind: "segment" as const,
        part: null,
      }));
  };
}
