import type { Field } from "../schema/field.js";
import type { Profile } from "../schema/profile.js";
import type { Problem } from "./problem.js";
import { type Reference, referring } from "./referring.js";

/** Names that are there twice, that nothing bears, that need themselves, or that hold another kind of value. */
export function namingProblems(profile: Profile): Problem[] {
  return [...twiceNamed(profile), ...unknownNames(profile), ...circles(profile)];
}

function twiceNamed(profile: Profile): Problem[] {
  const twice = (list: readonly { readonly name: string }[], path: string, before: typeof list = []) => {
    const seen = new Set(before.map(({ name }) => name));
    return list.flatMap(({ name }, i) => {
      const again = seen.has(name);
      seen.add(name);
      return again ? [{ path: `${path}[${i}].name`, message: `expected each name once, got ${name} again` }] : [];
    });
  };
  // A checksum that repeats also takes the names NAME-1, NAME-2 and so on.
  const repeating = profile.checksums.filter(({ repeat }) => repeat).map(({ name }) => name);
  const taken = profile.checksums.flatMap(({ name }, i) => {
    const owner = repeating.find((other) => /^-\d+$/.test(name.slice(other.length)) && name.startsWith(other));
    return owner === undefined
      ? []
      : [
          {
            path: `checksums[${i}].name`,
            message: `expected another name than those of the repeats of ${owner}, got ${name}`,
          },
        ];
  });
  return [
    ...twice(profile.regions, "regions"),
    ...twice(profile.fields, "fields"),
    ...twice(profile.checksums, "checksums"),
    ...twice(profile.statedChecksums, "statedChecksums", profile.checksums),
    ...taken,
    ...twice(profile.pair?.rules ?? [], "pair.rules"),
    ...twice(profile.verificationNumbers, "verificationNumbers"),
  ];
}

function unknownNames(profile: Profile): Problem[] {
  const fields = new Map(profile.fields.map((field) => [field.name, field]));
  const regions = new Set(profile.regions.map(({ name }) => name));
  const among = (names: Iterable<string>) => {
    const all = [...names];
    return all.length === 0
      ? "there are none"
      : `there are ${all.slice(0, 12).join(", ")}${all.length > 12 ? " ..." : ""}`;
  };
  return [...referring(profile)].flatMap(({ path, kind, name, value }) => {
    if (kind === "region") {
      if (regions.has(name)) return [];
      return [{ path, message: `expected the name of a region, got ${name} (${among(regions)})` }];
    }
    const field = fields.get(name);
    if (!field && kind === "value") return []; // said once, where the field is named
    if (!field) return [{ path, message: `expected the name of a field, got ${name} (${among(fields.keys())})` }];
    if (kind === "number" && field.type !== "unsigned") {
      return [{ path, message: `expected an unsigned field, got ${name} of type ${field.type}` }];
    }
    const form = value === undefined ? undefined : wrongForm(field, value);
    return form === undefined ? [] : [{ path, message: `expected ${form}, as a report shows ${name}, got ${value}` }];
  });
}

/** What a value of the field looks like, when `value` can never be one. */
function wrongForm(field: Field, value: string): string | undefined {
  switch (field.type) {
    case "unsigned":
      if (field.show === "hex") return /^0x(0|[1-9a-f][0-9a-f]*)$/.test(value) ? undefined : "a number such as 0x1f";
      return /^(0|[1-9][0-9]*)$/.test(value) ? undefined : "a decimal number";
    case "hex":
      return /^([0-9a-f]{2})+$/.test(value) ? undefined : "lower-case hexadecimal digits, two a byte";
    case "digits":
    case "bcd":
      return /^[0-9]+$/.test(value) ? undefined : "digits";
    case "text":
      return undefined;
  }
}

/** Fields and regions that need themselves to be found. */
function circles(profile: Profile): Problem[] {
  const indexes = {
    fields: new Map(profile.fields.map(({ name }, i) => [name, i])),
    regions: new Map(profile.regions.map(({ name }, i) => [name, i])),
  };
  const needs = new Map<string, string[]>();
  const keyOf = ({ kind, name }: Reference) => {
    const list = kind === "region" ? "regions" : "fields";
    return `${list}[${indexes[list].get(name)}]`;
  };
  for (const reference of referring(profile)) {
    const owner = /^(?:fields|regions)\[\d+\]/.exec(reference.path)?.[0];
    if (owner !== undefined) needs.set(owner, [...(needs.get(owner) ?? []), keyOf(reference)]);
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
