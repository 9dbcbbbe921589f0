import { contains, intersection, lengthOf, MEMORY_END, normalised, type Span } from "../../bytes/span.js";
import { extentOf } from "../extent.js";
import { patternProblem } from "../pattern.js";
import type { Field } from "../schema/field.js";
import { MEMORY_LIMIT, type Profile } from "../schema/profile.js";
import { literalPlace, literalSpan } from "./literal.js";
import { memoryProblems } from "./memory.js";
import { type Problem, shown } from "./problem.js";

const fieldLimit = 4096;

/** Regions that overlap, leave the memory or are no memory at all. */
export function regionProblems(profile: Profile): Problem[] {
  const extent = memoryProblems(profile).length === 0 ? extentOf(profile) : undefined;
  const problems: Problem[] = [];
  const placed: { readonly path: string; readonly span: Span }[] = [];
  for (const [i, region] of profile.regions.entries()) {
    for (const [j, range] of region.over.entries()) {
      const path = `regions[${i}].over[${j}]`;
      if ("region" in range || "field" in range) {
        problems.push({ path, message: "expected a start with a length or an end, got a reference" });
      }
      const span = literalSpan(range);
      if (!span) continue;
      if (span.start < 0 || span.end <= span.start || span.end > MEMORY_END) {
        problems.push({ path, message: `expected a span of at least one byte below 2**32, got ${shown(span)}` });
      } else if (lengthOf(span) > MEMORY_LIMIT) {
        problems.push({ path, message: `expected at most ${MEMORY_LIMIT} bytes, got ${lengthOf(span)}` });
      } else if (extent && !contains(extent, span)) {
        problems.push({ path, message: `expected a span inside the memory ${shown(extent)}, got ${shown(span)}` });
      }
      // Regions that apply on a condition may take the place of one another.
      if (region.when === undefined) placed.push({ path, span });
    }
  }
  placed.sort((a, b) => a.span.start - b.span.start);
  let last = placed[0];
  for (const region of placed.slice(1)) {
    const shared = last && intersection(last.span, region.span);
    if (shared && last) {
      problems.push({ path: region.path, message: `expected regions apart, got ${shown(shared)} in ${last.path} too` });
    }
    if (!last || region.span.end > last.span.end) last = region;
  }
  return problems;
}

/** Fields outside every region, of no size, without a byte order, with a pattern that cannot be used. */
export function fieldProblems(profile: Profile): Problem[] {
  const literal = profile.regions.map((region) => region.over.map(literalSpan));
  const allKnown = literal.flat().every((span) => span !== undefined);
  const regions = literal.flatMap((spans) => normalised(spans.filter((span) => span !== undefined)));
  return profile.fields.flatMap((field, i) => {
    const problems: Problem[] = [];
    const add = (key: string, message: string) => problems.push({ path: `fields[${i}].${key}`, message });
    const { at, length } = field;
    const span = literalPlace(at, length);
    if (typeof length === "number" && length < 1) add("length", `expected at least 1 byte, got ${length}`);
    else if (typeof length === "number" && length > fieldLimit) {
      add("length", `expected at most ${fieldLimit} bytes, got ${length}`);
    } else if (span && allKnown && !regions.some((region) => contains(region, span))) {
      add("at", `expected a field inside one region, got ${shown(span)}`);
    }
    for (const [key, message] of formProblems(field)) add(key, message);
    return problems;
  });
}

function* formProblems(field: Field): Generator<readonly [key: string, message: string]> {
  if (field.type === "unsigned") {
    const { length, order, bits } = field;
    if (length > 1 && order === undefined) yield ["order", "expected little or big, got nothing"];
    if (bits && bits.from + bits.count > 8 * length) {
      yield ["bits", `expected bits inside ${8 * length}, got up to ${bits.from + bits.count}`];
    }
    const values = 2 ** (bits?.count ?? 8 * length);
    for (const [key, list] of [
      ["equals", [field.equals]],
      ["oneOf", field.oneOf ?? []],
    ] as const) {
      const large = list.find((value) => value !== undefined && value >= values);
      if (large !== undefined) yield [key, `expected a value below ${values}, got ${large}`];
    }
    return;
  }
  if (field.equals !== undefined && field.oneOf) yield ["oneOf", "expected equals or oneOf, got both"];
  if (field.type === "hex") {
    const { length } = field;
    for (const [key, list] of [
      ["equals", [field.equals]],
      ["oneOf", field.oneOf ?? []],
    ] as const) {
      const other = list.find(
        (value) => value !== undefined && typeof length === "number" && value.length !== 2 * length,
      );
      if (other !== undefined) yield [key, `expected ${length} bytes, got ${other.length / 2}`];
    }
    return;
  }
  const problem = field.pattern === undefined ? undefined : patternProblem(field.pattern);
  if (problem !== undefined) yield ["pattern", `expected a usable pattern, got: ${problem}`];
  if (field.type === "text" && field.checkDigit && field.length !== 17) {
    const got = typeof field.length === "number" ? String(field.length) : "a computed length";
    yield ["length", `expected 17 bytes for a number with this check digit, got ${got}`];
  }
}
