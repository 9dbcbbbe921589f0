import { overlap, subtract, totalLength } from "../bytes/span.js";
import { counted } from "../findings/amounts.js";
import { profileOf } from "../profile/load.js";
import type { Profile, ProfileDocument } from "../profile/schema/profile.js";
import type { Range } from "../profile/schema/quantity.js";
import { describeUnit, knownSpans, type Unit } from "../unit/unit.js";
import type { Family } from "./family.js";
import { type HeldStatement, heldAgainst, unexplainedIn } from "./held.js";
import { writtenSpan } from "./written.js";

/** A profile as it lies in its file, and what it says. */
export interface OldProfile {
  /** As it is written, with all that a person wrote into it. */
  readonly document: ProfileDocument;
  readonly profile: Profile;
}

/** An old profile held against reads, and added to. */
export interface Refined {
  readonly document: ProfileDocument;
  readonly profile: Profile;
  readonly held: readonly HeldStatement[];
  /** What was added, as people call it. */
  readonly added: readonly string[];
}

const longestMark = 400;

/**
 * `old` with what `draft`, drafted from the same reads, says of places that it does not speak of, and with a mark on every
 * statement that the reads contradict. Nothing in it is changed otherwise, and no mark is taken out.
 */
export function refined(old: OldProfile, draft: Profile, drafted: ProfileDocument, family: Family): Refined {
  const held = heldAgainst(old.profile, family);
  const image = (family.reads[0] as Family["reads"][number]).image;
  const units = { old: describeUnit(image, old.profile), draft: describeUnit(image, draft) };
  const marked = withMarks(old.document, held);
  const wanted = [
    regionsToAdd(units.old, units.draft, drafted),
    checksumsToAdd(units.old, drafted, old.profile),
    fieldsToAdd(units.old, units.draft, drafted),
    volatileToAdd(units.old, units.draft, drafted),
    pairToAdd(old.profile, units.draft, drafted, family),
  ];
  let document = marked;
  let profile = profileOf(marked) ?? old.profile;
  const added: string[] = [];
  for (const addition of wanted) {
    const next = addition.to(document);
    const understood = profileOf(next);
    // What would not go with what is there, as a region with a computed place, is left out.
    if (!understood || addition.names.length === 0) continue;
    document = next;
    profile = understood;
    added.push(...addition.names);
  }
  return { document, profile, held, added };
}

interface Addition {
  readonly names: readonly string[];
  readonly to: (document: ProfileDocument) => ProfileDocument;
}

/** `document` with the reason of each contradiction beside what it contradicts, behind what stands there. */
function withMarks(document: ProfileDocument, held: readonly HeldStatement[]): ProfileDocument {
  const copy = JSON.parse(JSON.stringify(document)) as ProfileDocument;
  for (const { path, contradictions, of, by } of held) {
    const [first] = contradictions;
    const statement = first && statementAt(copy, path);
    if (!first || !statement) continue;
    const before = statement.unconfirmed === undefined ? "" : `${statement.unconfirmed}; `;
    const text = `${before}contradicted by ${contradictions.length} of ${counted(of, by)}, first ${first.reads.join(" and ")}: ${first.what}`;
    statement.unconfirmed = text.slice(0, longestMark);
  }
  return copy;
}

function statementAt(document: ProfileDocument, path: string): { unconfirmed?: string | undefined } | undefined {
  const indexed = /^(regions|fields|checksums|pair\.rules)\[(\d+)\]$/.exec(path);
  if (path === "memory") return document.memory;
  if (path === "pair.sides") return document.pair?.sides;
  if (!indexed) return undefined;
  const list =
    indexed[1] === "pair.rules" ? document.pair?.rules : document[indexed[1] as "regions" | "fields" | "checksums"];
  return list?.[Number(indexed[2])];
}

function freshName(taken: Iterable<{ readonly name: string }>, name: string): string {
  const names = new Set([...taken].map((one) => one.name));
  let fresh = name;
  for (let number = 2; names.has(fresh); number++) fresh = `${name}-${number}`;
  return fresh;
}

/** Regions over what no old region holds and that is not erased. */
function regionsToAdd(old: Unit, draft: Unit, drafted: ProfileDocument): Addition {
  const taken = old.regions.flatMap(({ spans }) => spans);
  const wanted = draft.regions.flatMap((region, i) => {
    const rest = subtract(region.spans, taken);
    const [first] = rest;
    return first && totalLength(rest) > 0
      ? [{ written: drafted.regions[i] as ProfileDocument["regions"][number], rest }]
      : [];
  });
  return {
    names: wanted.map(({ written }) => `region ${written.name}`),
    to: (document) => {
      const regions = [...document.regions];
      for (const { written, rest } of wanted) {
        const name = freshName(regions, written.name);
        const mark = "unconfirmed" in written ? {} : { unconfirmed: "added by a draft" };
        regions.push({ ...written, ...mark, name, over: rest.slice(0, 64).map(writtenSpan) });
      }
      return { ...document, regions };
    },
  };
}

function fieldsToAdd(old: Unit, draft: Unit, drafted: ProfileDocument): Addition {
  const taken = old.fields.flatMap((reading) => ("span" in reading ? [reading.span] : []));
  const wanted = draft.fields.flatMap((reading, i) =>
    "span" in reading && !taken.some((span) => overlap(span, reading.span))
      ? [drafted.fields?.[i] as NonNullable<ProfileDocument["fields"]>[number]]
      : [],
  );
  return {
    names: wanted.map(({ name }) => `field ${name}`),
    to: (document) => {
      const fields = [...(document.fields ?? [])];
      for (const written of wanted) {
        // What an old profile says of a meaning stands: a second number of the same meaning is nobody's guess to make.
        const { means, ...rest } = written;
        const known = means !== undefined && fields.some((field) => field.means === means);
        fields.push({ ...(known ? rest : written), name: freshName(fields, written.name) } as typeof written);
      }
      return { ...document, fields };
    },
  };
}

function checksumsToAdd(old: Unit, drafted: ProfileDocument, profile: Profile): Addition {
  const taken = profile.checksums.flatMap(({ stored }) =>
    knownSpans([{ start: stored.at, length: stored.bytes ?? 1 }], old.around),
  );
  const wanted = (drafted.checksums ?? []).filter(({ stored }) => {
    const at = Number(stored.at);
    return !taken.some((span) => overlap(span, { start: at, end: at + (stored.bytes ?? 1) }));
  });
  return {
    names: wanted.map(({ name }) => `checksum ${name}`),
    to: (document) => {
      const checksums = [...(document.checksums ?? [])];
      for (const written of wanted) checksums.push({ ...written, name: freshName(checksums, written.name) });
      return { ...document, checksums };
    },
  };
}

function volatileToAdd(old: Unit, draft: Unit, drafted: ProfileDocument): Addition {
  const wanted = (drafted.volatile ?? []).filter((_, i) => {
    const over = knownSpans(draft.profile.volatile[i]?.over ?? [], draft.around);
    return totalLength(subtract(over, old.volatile)) > 0;
  });
  return {
    names: wanted.map(() => "a volatile part"),
    to: (document) => ({ ...document, volatile: [...(document.volatile ?? []), ...wanted] }),
  };
}

/** The drafted rules that speak of differences that the old profile does not explain, by address. */
function pairToAdd(old: Profile, draft: Unit, drafted: ProfileDocument, family: Family): Addition {
  const open = unexplainedIn(old, family);
  const written = (over: readonly Range[]) => knownSpans(over, draft.around).map(writtenSpan);
  const rules = (draft.profile.pair?.rules ?? []).flatMap((rule, i) => {
    const spans = knownSpans(rule.over, draft.around);
    if (!spans.some((span) => open.some((other) => overlap(span, other)))) return [];
    const as = drafted.pair?.rules?.[i] as NonNullable<NonNullable<ProfileDocument["pair"]>["rules"]>[number];
    const exchanged = rule.rule === "exchanged" ? { with: written(rule.with) } : {};
    return [{ ...as, over: written(rule.over), ...exchanged }];
  });
  return {
    names: rules.map(({ name }) => `pairing rule ${name}`),
    to: (document) => {
      const all = [...(document.pair?.rules ?? [])];
      for (const rule of rules) all.push({ ...rule, name: freshName(all, rule.name) } as (typeof all)[number]);
      const { sides, ...pair } = document.pair ?? {};
      const names = sides ? { left: sides.left, right: sides.right } : { left: "left", right: "right" };
      return {
        ...document,
        pair: { ...pair, sides: sides ?? names, rules: all.map((rule) => withSides(rule, names)) },
      };
    },
  };
}

/** A drafted rule calls the sides left and right: the old profile has its own names. */
function withSides<Rule extends { readonly rule: string }>(
  rule: Rule,
  { left, right }: { left: string; right: string },
): Rule {
  if (rule.rule !== "per-side" || !("values" in rule)) return rule;
  const values = rule.values as Record<string, string>;
  if (values[left] !== undefined || values.left === undefined || values.right === undefined) return rule;
  return { ...rule, values: { [left]: values.left, [right]: values.right } };
}
