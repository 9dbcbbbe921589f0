import type { Report } from "@assay/core";
import { countOf, showAddress } from "./numbers.js";
import { hanging } from "./wrap.js";

type Named = NonNullable<NonNullable<Report["differences"]>[number]["names"]>[number];

/** What each kind of object is called. */
const kinds: Readonly<Record<Named["kind"], string>> = {
  value: "the value",
  text: "the text",
  block: "the block",
  curve: "the curve",
  map: "the table",
  cuboid: "the cuboid",
  axis: "the axis",
  segment: "the segment",
};

/** Objects that are named; the others are counted. */
const shown = 40;

/** The differences by the names of what they lie in, and what is to know of the names themselves. */
export function nameLines({ names, differences = [] }: Report, width: number): string[] {
  if (!names) return [];
  const { file, identifier, images, used, leftOut } = names;
  const fit = images.map(
    ({ role, fits }) => `${role} ${fits === null ? "cannot be told" : fits ? "fits" : "does not fit"}`,
  );
  const about = identifier === null ? `${file} has no identifier` : `${file} for ${identifier}: ${fit.join(", ")}`;
  const places = new Map<string, { text: string; bytes: number; first: number }>();
  for (const { start, length, names: met = [] } of differences) {
    for (const one of met) {
      const text = `in ${kinds[one.kind]} ${one.name}${partText(one.part)}`;
      const place = places.get(text) ?? { text, bytes: 0, first: start };
      place.bytes += length;
      places.set(text, place);
    }
  }
  const lines = [...places.values()].map(
    ({ text, bytes, first }) => `${text} (${countOf(bytes, "byte")}, the first at ${showAddress(first)})`,
  );
  return [
    ...hanging("", 2, about, width),
    ...(used ? [] : hanging("", 2, "names are not given: the description is of other software", width)),
    ...leftOut.flatMap((item) => hanging("", 2, `left out: ${item}`, width)),
    ...(lines.length > 0 ? [""] : []),
    ...lines.slice(0, shown).flatMap((line) => hanging("", 2, line, width)),
    ...(lines.length > shown ? [`and ${lines.length - shown} more`] : []),
  ];
}

/** Which rows, columns, values or points, behind the name of what has them. */
export function partText(part: Named["part"]): string {
  if (!part) return "";
  const { what, first, last } = part;
  const range = (one: string) => (first === last ? `${one} ${first}` : `${one}s ${first} to ${last}`);
  if (what.startsWith("axis-")) return `, ${range("point")} of its ${what.slice(5)} axis`;
  return `, ${range(what.replace(/s$/, ""))}`;
}
