import { MEMORY_END, type Span } from "../bytes/span.js";
import { latin1 } from "../bytes/text.js";
import type { Image } from "../image/image.js";
import type { MeasurementDescription } from "./description.js";

/** A place where the identifier of a description must stand, and what does. */
export interface IdentifierPlace {
  readonly span: Span;
  /** Undefined where the image is not known. */
  readonly fits: boolean | undefined;
  /** One character a byte; undefined where it is not known, or not to be shown. */
  readonly found: string | undefined;
}

/** What stands at each address of the identifier. */
export function identifierPlaces(
  { identifier }: Pick<MeasurementDescription, "identifier">,
  image: Image,
): readonly IdentifierPlace[] {
  const { text = "", addresses = [] } = identifier ?? {};
  return addresses.map((start) => {
    const span = { start, end: Math.min(start + text.length, MEMORY_END) };
    const bytes = image.read(span);
    const found = bytes && latin1(bytes);
    return { span, fits: found === undefined ? undefined : found === text, found };
  });
}

/** Whether the identifier stands at each of its places; undefined when there is none, or the image is not known there. */
export function identifierFits(places: readonly IdentifierPlace[]): boolean | undefined {
  const fits = places.map((place) => place.fits);
  return fits.includes(false) ? false : fits.length === 0 || fits.includes(undefined) ? undefined : true;
}
