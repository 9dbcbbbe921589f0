import { algorithmOf } from "../algorithms/algorithm.js";
import { formatAddress } from "../bytes/hex.js";
import { contains, intersection, lengthOf, type Span } from "../bytes/span.js";
import { isFindingCode } from "../findings/catalogue.js";
import { patternProblem } from "./pattern.js";
import { type References, referencesOfPosition, referencesOfQuantity, referencesOfRange } from "./references.js";
import { MEMORY_LIMIT, type Profile } from "./schema/profile.js";
import type { Range } from "./schema/quantity.js";

/** One thing wrong with a profile: the place in the document, what was expected and what came. */
export interface Problem {
  /** `checksums[2].over[0]`; empty for the document itself. */
  readonly path: string;
  readonly message: string;
}

/** What does not hold together in a profile whose shape is right: names, references, places. All of it, in document order. */
export function checkProfile(profile: Profile): Problem[] {
  return [
    ...memoryProblems(profile),
    ...nameProblems(profile),
    ...referenceProblems(profile),
    ...circleProblems(profile),
    ...regionProblems(profile),
    ...fieldProblems(profile),
    ...checksumProblems(profile),
    ...pairProblems(profile),
    ...raiseProblems(profile),
  ];
}

/** The memory's extent, when the profile allows one size only. */
export function extentOf(profile: Profile): Span | undefined {
  const { base, size } = profile.memory;
  const sizes = size === undefined ? [] : Array.isArray(size) ? size : [size];
  return sizes.length === 1 ? { start: base, end: base + (sizes[0] as number) } : undefined;
}

/** The sizes that the profile allows, in bytes; none when it does not say. */
export function sizesOf(profile: Profile): readonly number[] {
  const { size } = profile.memory;
  return size === undefined ? [] : Array.isArray(size) ? size : [size];
}

function memoryProblems({ memory }: Profile): Problem[] {
  const problems: Problem[] = [];
  if (memory.holes === "erased" && memory.erased === undefined) {
    problems.push({ path: "memory.holes", message: 'expected memory.erased beside holes: "erased", got none' });
  }
  for (const size of Array.isArray(memory.size) ? memory.size : [memory.size ?? 1]) {
    if (size < 1 || size > MEMORY_LIMIT) {
      problems.push({ path: "memory.size", message: `expected 1 to ${MEMORY_LIMIT} bytes, got ${size}` });
    } else if (memory.base + size > 2 ** 32) {
      problems.push({ path: "memory.size", message: `expected the memory to end by 2**32, got ${memory.base + size}` });
    }
  }
  return problems;
}

function nameProblems(profile: Profile): Problem[] {
  const twice = (list: readonly { readonly name: string }[], path: string) =>
    list.flatMap(({ name }, i) =>
      list.findIndex((other) => other.name === name) < i
        ? [{ path: `${path}[${i}].name`, message: `expected each name once, got ${name} again` }]
        : [],
    );
  return [
    ...twice(profile.regions, "regions"),
    ...twice(profile.fields, "fields"),
    ...twice(profile.checksums, "checksums"),
    ...twice(profile.pair?.rules ?? [], "pair.rules"),
  ];
}

/** Every place of the document that refers to something by name. */
function* referring(profile: Profile): Generator<readonly [path: string, References]> {
  function* ranges(list: readonly Range[], path: string): Generator<readonly [string, References]> {
    for (const [i, range] of list.entries()) yield [`${path}[${i}]`, referencesOfRange(range)];
  }
  const when = (condition: { readonly field: string } | undefined, path: string) =>
    condition ? ([[`${path}.when`, { fields: [condition.field], regions: [] }]] as const) : [];

  for (const [i, region] of profile.regions.entries()) {
    yield* ranges(region.over, `regions[${i}].over`);
    yield* when(region.when, `regions[${i}]`);
  }
  for (const [i, field] of profile.fields.entries()) {
    yield [`fields[${i}].at`, referencesOfPosition(field.at)];
    yield [`fields[${i}].length`, referencesOfQuantity(field.length)];
    yield* when(field.when, `fields[${i}]`);
  }
  for (const [i, checksum] of profile.checksums.entries()) {
    yield* ranges(checksum.over, `checksums[${i}].over`);
    yield [`checksums[${i}].stored.at`, referencesOfPosition(checksum.stored.at)];
    if (checksum.repeat) {
      yield [`checksums[${i}].repeat.count`, referencesOfQuantity(checksum.repeat.count)];
      yield [`checksums[${i}].repeat.every`, referencesOfQuantity(checksum.repeat.every)];
    }
    yield* when(checksum.when, `checksums[${i}]`);
  }
  for (const [i, volatile] of profile.volatile.entries()) yield* ranges(volatile.over, `volatile[${i}].over`);
  for (const [i, part] of (profile.fingerprint?.without ?? []).entries()) {
    yield* ranges(part.over, `fingerprint.without[${i}].over`);
  }
  for (const [i, rule] of (profile.pair?.rules ?? []).entries()) {
    yield* ranges(rule.over, `pair.rules[${i}].over`);
    if (rule.rule === "exchanged") yield* ranges(rule.with, `pair.rules[${i}].with`);
  }
  const side = profile.pair?.sides?.field;
  if (side !== undefined) yield ["pair.sides.field", { fields: [side], regions: [] }];
}

function referenceProblems(profile: Profile): Problem[] {
  const fields = new Set(profile.fields.map((field) => field.name));
  const regions = new Set(profile.regions.map((region) => region.name));
  return [...referring(profile)].flatMap(([path, references]) => [
    ...references.fields
      .filter((name) => !fields.has(name))
      .map((name) => ({ path, message: `expected the name of a field, got ${name}` })),
    ...references.regions
      .filter((name) => !regions.has(name))
      .map((name) => ({ path, message: `expected the name of a region, got ${name}` })),
  ]);
}

/** Fields and regions that need themselves to be found. */
function circleProblems(profile: Profile): Problem[] {
  const needs = new Map<string, string[]>();
  for (const [path, references] of referring(profile)) {
    const owner = /^(fields|regions)\[(\d+)\]/.exec(path);
    if (!owner) continue;
    const key = `${owner[1]}[${owner[2]}]`;
    const list = needs.get(key) ?? [];
    for (const name of references.fields)
      list.push(`fields[${profile.fields.findIndex((field) => field.name === name)}]`);
    for (const name of references.regions) {
      list.push(`regions[${profile.regions.findIndex((region) => region.name === name)}]`);
    }
    needs.set(key, list);
  }
  const problems: Problem[] = [];
  const state = new Map<string, "open" | "done">();
  const visit = (key: string): void => {
    if (state.get(key) === "done") return;
    if (state.get(key) === "open") {
      problems.push({ path: key, message: "expected a place that does not depend on itself, got a circle" });
      return;
    }
    state.set(key, "open");
    for (const next of needs.get(key) ?? []) visit(next);
    state.set(key, "done");
  };
  for (const key of needs.keys()) visit(key);
  return problems;
}

/** The addresses of a range that is written down in plain numbers. */
function literalSpan(range: Range): Span | undefined {
  if (!("start" in range) || typeof range.start !== "number") return undefined;
  const end = "end" in range ? range.end : typeof range.length === "number" ? range.start + range.length : undefined;
  return typeof end === "number" ? { start: range.start, end } : undefined;
}

function shown(span: Span): string {
  return `${formatAddress(span.start)}..${formatAddress(span.end)}`;
}

function regionProblems(profile: Profile): Problem[] {
  const extent = extentOf(profile);
  const problems: Problem[] = [];
  const placed: { readonly path: string; readonly span: Span; readonly exclusive: boolean }[] = [];
  for (const [i, region] of profile.regions.entries()) {
    for (const [j, range] of region.over.entries()) {
      const path = `regions[${i}].over[${j}]`;
      const span = literalSpan(range);
      if ("region" in range || "field" in range) {
        problems.push({ path, message: "expected a start with a length or an end, got a reference" });
      }
      if (!span) continue;
      if (span.start < 0 || span.end <= span.start || span.end > 2 ** 32) {
        problems.push({ path, message: `expected a span of at least one byte below 2**32, got ${shown(span)}` });
      } else if (lengthOf(span) > MEMORY_LIMIT) {
        problems.push({ path, message: `expected at most ${MEMORY_LIMIT} bytes, got ${lengthOf(span)}` });
      } else if (extent && !contains(extent, span)) {
        problems.push({ path, message: `expected a span inside the memory ${shown(extent)}, got ${shown(span)}` });
      }
      // Regions that apply on a condition may take the place of one another.
      placed.push({ path, span, exclusive: region.when === undefined });
    }
  }
  const inOrder = placed.filter(({ exclusive }) => exclusive).sort((a, b) => a.span.start - b.span.start);
  for (const [i, { path, span }] of inOrder.entries()) {
    const before = inOrder[i - 1];
    const shared = before && intersection(before.span, span);
    if (shared) problems.push({ path, message: `expected regions apart, got ${shown(shared)} in ${before.path} too` });
  }
  return problems;
}

function fieldProblems(profile: Profile): Problem[] {
  const regions = profile.regions.flatMap((region) => region.over.map(literalSpan));
  const problems: Problem[] = [];
  for (const [i, field] of profile.fields.entries()) {
    const path = `fields[${i}]`;
    if (typeof field.at === "number" && typeof field.length === "number") {
      const span = { start: field.at, end: field.at + field.length };
      if (field.length < 1)
        problems.push({ path: `${path}.length`, message: `expected at least 1 byte, got ${field.length}` });
      if (
        regions.every((region) => region !== undefined) &&
        !regions.some((region) => region && contains(region, span))
      ) {
        problems.push({ path: `${path}.at`, message: `expected a field inside one region, got ${shown(span)}` });
      }
    }
    if (typeof field.length === "number" && field.length > 4096) {
      problems.push({ path: `${path}.length`, message: `expected at most 4096 bytes, got ${field.length}` });
    }
    if (field.type === "unsigned") {
      if (field.length > 1 && field.order === undefined) {
        problems.push({ path: `${path}.order`, message: "expected little or big, got nothing" });
      }
      if (field.bits && field.bits.from + field.bits.count > 8 * field.length) {
        problems.push({
          path: `${path}.bits`,
          message: `expected bits inside ${8 * field.length}, got up to ${field.bits.from + field.bits.count}`,
        });
      }
    } else if (field.type !== "hex" && field.pattern !== undefined) {
      const problem = patternProblem(field.pattern);
      if (problem !== undefined)
        problems.push({ path: `${path}.pattern`, message: `expected a usable pattern, got: ${problem}` });
    }
    if (field.type === "text" && field.checkDigit && field.length !== 17) {
      problems.push({ path: `${path}.length`, message: "expected 17 bytes for a number with this check digit" });
    }
  }
  return problems;
}

function checksumProblems(profile: Profile): Problem[] {
  const problems: Problem[] = [];
  for (const [i, { algorithm, stored }] of profile.checksums.entries()) {
    const path = `checksums[${i}]`;
    let width: number;
    try {
      width = algorithmOf(algorithm).width;
    } catch (error) {
      problems.push({ path: `${path}.algorithm`, message: (error as Error).message });
      continue;
    }
    const bytes = stored.bytes ?? Math.ceil(width / 8);
    if (8 * bytes < width) {
      problems.push({
        path: `${path}.stored.bytes`,
        message: `expected at least ${Math.ceil(width / 8)} bytes, got ${bytes}`,
      });
    }
    if (
      stored.constant !== undefined &&
      (stored.form !== "whole-comes-to-constant" || stored.constant >> BigInt(width))
    ) {
      problems.push({
        path: `${path}.stored.constant`,
        message: `expected a value of ${width} bits with the form whole-comes-to-constant, got ${stored.constant} with ${stored.form}`,
      });
    }
  }
  return problems;
}

function pairProblems({ pair, fields }: Profile): Problem[] {
  if (!pair) return [];
  const problems: Problem[] = [];
  const { sides } = pair;
  const names = sides ? [sides.left, sides.right] : ["left", "right"];
  if (sides && sides.left === sides.right) {
    problems.push({ path: "pair.sides.right", message: `expected another name than ${sides.left}, got the same` });
  }
  if (sides && (sides.field === undefined) !== (sides.values === undefined)) {
    problems.push({ path: "pair.sides", message: "expected field and values together, got one of them" });
  }
  if (sides?.field !== undefined && fields.find((field) => field.name === sides.field)?.when) {
    problems.push({
      path: "pair.sides.field",
      message: "expected a field that is always there, got one with a condition",
    });
  }
  const complete = (values: Readonly<Record<string, unknown>>, path: string) => {
    const keys = Object.keys(values);
    if (keys.length !== 2 || !names.every((name) => keys.includes(name))) {
      problems.push({
        path,
        message: `expected one value for each of ${names.join(", ")}, got ${keys.join(", ") || "none"}`,
      });
    }
  };
  if (sides?.values) {
    complete(sides.values, "pair.sides.values");
    const [one, other] = Object.values(sides.values);
    if (one !== undefined && String(one) === String(other)) {
      problems.push({ path: "pair.sides.values", message: "expected two different values, got the same" });
    }
  }
  for (const [i, rule] of pair.rules.entries()) {
    if (rule.rule === "per-side") complete(rule.values, `pair.rules[${i}].values`);
    if (rule.rule === "reordered" && new Set(rule.order).size !== rule.order.length) {
      problems.push({ path: `pair.rules[${i}].order`, message: "expected each element once, got one twice" });
    }
    if (rule.rule === "reordered" && rule.order.some((element) => element >= rule.order.length)) {
      problems.push({
        path: `pair.rules[${i}].order`,
        message: `expected elements below ${rule.order.length}, got a larger one`,
      });
    }
  }
  return problems;
}

function raiseProblems({ raise }: Profile): Problem[] {
  return Object.keys(raise)
    .filter((code) => !isFindingCode(code))
    .map((code) => ({ path: `raise.${code}`, message: `expected the code of a finding, got ${code}` }));
}
