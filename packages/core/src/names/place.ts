import { intersection, type Span } from "../bytes/span.js";
import type { MeasurementDescription } from "./description.js";
import type { ObjectPart, StoredCount } from "./laid-out.js";
import type { NamedObject } from "./object.js";

/** What a run of addresses meets: an object, and the part of it. */
export interface NamedPlace {
  readonly name: string;
  readonly kind: NamedObject["kind"];
  /** Rows, columns, values or points of an axis, the first and the last counted from 1; undefined of a single value. */
  readonly part: { readonly what: ObjectPart["what"]; readonly first: number; readonly last: number } | undefined;
}

/** The most objects that are named for one run. */
const NAMED = 16;

/** Objects before the end of a run that are looked at: more than any run of a table meets. */
const LOOKED_AT = 2048;

/** Finds the objects of a description by address. */
export class NameIndex {
  readonly #objects: readonly NamedObject[];
  /** The furthest end of an object up to each index. */
  readonly #reach: readonly number[];

  constructor({ objects }: Pick<MeasurementDescription, "objects">) {
    this.#objects = objects;
    let furthest = 0;
    this.#reach = objects.map(({ span }) => {
      furthest = Math.max(furthest, span.end);
      return furthest;
    });
  }

  /**
   * The objects that `span` meets, by address, at most 16, and how many more were seen. Rows and points are named where
   * the memory holds, as `holds` says of it, the numbers that they depend on.
   */
  placesIn(
    span: Span,
    holds: (count: StoredCount) => boolean = () => false,
  ): { readonly places: readonly NamedPlace[]; readonly more: number } {
    const met: NamedObject[] = [];
    const least = this.#firstIndex((i) => (this.#reach[i] as number) > span.start);
    const end = this.#firstIndex((i) => (this.#objects[i] as NamedObject).span.start >= span.end);
    for (let i = end - 1; i >= Math.max(least, end - LOOKED_AT); i--) {
      const object = this.#objects[i] as NamedObject;
      if (object.span.end > span.start) met.unshift(object);
    }
    const places = met.slice(0, NAMED).map(({ name, kind, parts, counts }) => ({
      name,
      kind,
      part: counts.every(holds) ? partAt(parts, kind, span) : undefined,
    }));
    return { places, more: met.length - places.length };
  }

  /** The first index that `holds`, when it holds of all that follow too. */
  #firstIndex(holds: (index: number) => boolean): number {
    let low = 0;
    let high = this.#objects.length;
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (holds(middle)) high = middle;
      else low = middle + 1;
    }
    return low;
  }
}

/** The lines of the first part that `span` meets. */
export function partAt(parts: readonly ObjectPart[], kind: NamedObject["kind"], span: Span): NamedPlace["part"] {
  if (kind === "value" || kind === "text") return undefined;
  for (const { what, span: own, step } of parts) {
    const shared = intersection(own, span);
    if (!shared) continue;
    const lineOf = (address: number) => Math.floor((address - own.start) / step) + 1;
    return { what, first: lineOf(shared.start), last: lineOf(shared.end - 1) };
  }
  return undefined;
}
