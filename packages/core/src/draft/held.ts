import { formatAddress } from "../bytes/hex.js";
import { common, lengthOf, type Span, subtract, totalLength } from "../bytes/span.js";
import { measureChecksums } from "../checksums/measure.js";
import { comparePair, type PairComparison } from "../compare/pair.js";
import { sideNames, sideOf, toldBy } from "../compare/sides.js";
import type { Profile } from "../profile/schema/profile.js";
import { describeUnit, type Unit } from "../unit/unit.js";
import { faultTexts, obstacleText } from "../unit/words.js";
import { type Family, firstRead, imageOf } from "./family.js";
import { reason } from "./written.js";

/** What the reads say of one statement of a profile. */
export interface HeldStatement {
  /** Where it stands in the document: `regions[2]`. */
  readonly path: string;
  /** What people call it: `region program`. */
  readonly statement: string;
  /** How many support it, of how many that could. */
  readonly supported: number;
  readonly of: number;
  readonly by: "read" | "pair";
  readonly contradictions: readonly Contradiction[];
}

/** What does not go with a statement, and in which read, or which two. */
export interface Contradiction {
  readonly reads: readonly string[];
  /** Where, when it is at one place. */
  readonly start?: number;
  readonly what: string;
}

/** Roles whose content no unit changes by itself. */
const movesByItself = ["adaptation", "faults"];

/** Every statement of `profile` held against the reads of `family`. */
export function heldAgainst(profile: Profile, family: Family): HeldStatement[] {
  const units = family.reads.map(({ image }) => describeUnit(image, profile));
  return [
    memoryHeld(profile, family),
    ...regionsHeld(profile, family, units),
    ...fieldsHeld(profile, family, units),
    ...checksumsHeld(profile, family, units),
    ...pairHeld(profile, family, units),
  ];
}

interface Said {
  readonly supports: boolean;
  readonly contradiction?: Omit<Contradiction, "reads">;
}

/** One statement, with what each read says of it; undefined where a read says nothing. */
function byRead(
  { reads }: Family,
  path: string,
  statement: string,
  says: (read: number) => Said | undefined,
): HeldStatement {
  const said = reads.map((_, read) => says(read));
  return {
    path,
    statement,
    supported: said.filter((one) => one?.supports).length,
    of: reads.length,
    by: "read",
    contradictions: said.flatMap((one, read) =>
      one?.contradiction ? [{ reads: [reads[read]?.name ?? ""], ...one.contradiction }] : [],
    ),
  };
}

function against(what: string, span?: Span): Said {
  return { supports: false, contradiction: { what: reason(what), ...(span && { start: span.start }) } };
}

function memoryHeld({ memory }: Profile, family: Family): HeldStatement {
  const sizes = memory.size === undefined ? [] : [memory.size].flat();
  return byRead(family, "memory", "memory", (read) => {
    const { bounds } = family.reads[read]?.image ?? {};
    if (!bounds || sizes.length === 0) return undefined;
    const size = bounds.end - memory.base;
    if (sizes.includes(size)) return { supports: true };
    return against(`expected ${sizes.join(" or ")} bytes from ${formatAddress(memory.base)} on, got ${size}`);
  });
}

function regionsHeld({ regions }: Profile, family: Family, units: readonly Unit[]): HeldStatement[] {
  return regions.map(({ name, role }, i) =>
    byRead(family, `regions[${i}]`, `region ${name}`, (read) => {
      const unit = units[read] as Unit;
      const placed = unit.regions[i] as Unit["regions"][number];
      if (placed.obstacle) return against(`its place could not be told: ${obstacleText(placed.obstacle)}`);
      if (placed.spans.length === 0) return undefined;
      if (totalLength(subtract(placed.spans, unit.image.spans)) > 0) return undefined;
      const moving = movesByItself.includes(role)
        ? []
        : subtract(common(placed.spans, changedIn(family, read)), unit.volatile);
      if (moving.length > 0) {
        return against(
          `${totalLength(moving)} bytes differ from another read of the same unit, and nothing says that they change by themselves`,
          moving[0],
        );
      }
      return { supports: true };
    }),
  );
}

/** Where a read differs from the first one of the same unit. */
function changedIn({ units, stretches }: Family, read: number): Span[] {
  const own = units.find(({ reads }) => reads.includes(read));
  const first = own?.reads[0];
  if (first === undefined || first === read) return [];
  const spans: { start: number; end: number }[] = [];
  for (const { start, length, contents } of stretches) {
    const [a, b] = [contents[first] as Uint8Array, contents[read] as Uint8Array];
    for (let at = 0; at < length; at++) {
      if (a[at] === b[at]) continue;
      const last = spans.at(-1);
      if (last?.end === start + at) last.end++;
      else spans.push({ start: start + at, end: start + at + 1 });
    }
  }
  return spans;
}

function fieldsHeld({ fields }: Profile, family: Family, units: readonly Unit[]): HeldStatement[] {
  return fields.map((field, i) =>
    byRead(family, `fields[${i}]`, `field ${field.name}`, (read) => {
      const reading = (units[read] as Unit).fields[i] as Unit["fields"][number];
      if (reading.status === "not-applicable" || reading.status === "unread") return undefined;
      if (reading.status === "unplaced") return against(`could not be read: ${obstacleText(reading.obstacle)}`);
      const secret = field.means === "immobiliser";
      if (reading.status === "wrong") {
        return against(`${secret ? "its value" : reading.shown}: ${faultTexts[reading.fault]}`, reading.span);
      }
      const shown = (other: number) => {
        const twin = (units[other] as Unit).fields[i] as Unit["fields"][number];
        return "shown" in twin ? twin.shown : undefined;
      };
      const unitOf = (other: number) => family.units.findIndex(({ reads }) => reads.includes(other));
      const twin = family.reads.findIndex(
        (_, other) => other < read && unitOf(other) !== unitOf(read) && shown(other) === reading.shown,
      );
      if (field.means === "serial-number" && twin >= 0) {
        return against(`${reading.shown}, as in ${family.reads[twin]?.name}, which is another unit`, reading.span);
      }
      return { supports: true };
    }),
  );
}

function checksumsHeld({ checksums }: Profile, family: Family, units: readonly Unit[]): HeldStatement[] {
  const measured = units.map((unit) => measureChecksums(unit));
  return checksums.map(({ name, repeat }, i) =>
    byRead(family, `checksums[${i}]`, `checksum ${name}`, (read) => {
      const own = measured[read]?.filter((facts) =>
        repeat ? facts.name.startsWith(`${name}-`) || facts.name === name : facts.name === name,
      );
      const failing = own?.find(({ status }) => status === "fails");
      if (failing) {
        return against(
          `stores ${failing.stored ?? "another value"}, ${failing.computed ?? "no value"} would hold`,
          failing.storedAt,
        );
      }
      return own?.some(({ status }) => status === "holds") ? { supports: true } : undefined;
    }),
  );
}

function pairHeld({ pair }: Profile, family: Family, units: readonly Unit[]): HeldStatement[] {
  if (!pair) return [];
  const told = family.pairs.map(({ left, right }) => {
    const reads = [firstRead(family, left), firstRead(family, right)];
    const [a, b] = reads.map((read) => units[read] as Unit) as [Unit, Unit];
    return {
      names: reads.map((read) => family.reads[read]?.name ?? ""),
      a,
      b,
      comparison: comparePair(a, b, following(a, b)),
    };
  });
  const byPair = (
    path: string,
    statement: string,
    says: (pair: (typeof told)[number]) => Said | undefined,
  ): HeldStatement => {
    const said = told.map(says);
    return {
      path,
      statement,
      supported: said.filter((one) => one?.supports).length,
      of: told.length,
      by: "pair",
      contradictions: said.flatMap((one, i) =>
        one?.contradiction ? [{ reads: told[i]?.names ?? [], ...one.contradiction }] : [],
      ),
    };
  };
  const names = sideNames(pair);
  return [
    ...(pair.sides?.field === undefined
      ? []
      : [
          byPair("pair.sides", "the sides", ({ a, b }) => {
            const [left, right] = [toldBy(sideOf(a)), toldBy(sideOf(b))];
            if (left === names.left && right === names.right) return { supports: true };
            return against(
              `expected ${names.left} and ${names.right}, got ${left ?? "no side"} and ${right ?? "no side"}`,
            );
          }),
        ]),
    ...pair.rules.map(({ name }, i) =>
      byPair(`pair.rules[${i}]`, `pairing rule ${name}`, ({ comparison }) => {
        const { status, at, expected, found } = comparison.rules[i] as PairComparison["rules"][number];
        if (status === "broken") return against(`expected ${expected ?? "another value"}, got ${found ?? "none"}`, at);
        return status === "holds" ? { supports: true } : undefined;
      }),
    ),
    byPair("pair", "that all else is the same in both units", ({ comparison }) => {
      const [first] = comparison.regions;
      if (!first) return { supports: true };
      const bytes = comparison.regions.reduce((sum, one) => sum + one.bytes, 0);
      return against(
        `${bytes} bytes differ that no rule speaks of, first in ${first.region ?? "no region"}`,
        first.first[0],
      );
    }),
  ];
}

/** The checksums that hold in both units over the same places: their values may differ. */
function following(a: Unit, b: Unit) {
  const twins = new Map(measureChecksums(b).map((facts) => [facts.name, facts]));
  return measureChecksums(a).flatMap(({ name, status, storedAt, covered }) => {
    const twin = twins.get(name);
    if (!twin || !storedAt) return [];
    const same = JSON.stringify([covered, storedAt]) === JSON.stringify([twin.covered, twin.storedAt]);
    return [{ name, storedAt, covered, holdsInBoth: same && status === "holds" && twin.status === "holds" }];
  });
}

/** Where the two units of told pairs differ and no rule of `profile` says why. */
export function unexplainedIn(profile: Profile, family: Family): Span[] {
  return family.pairs.flatMap(({ left, right }) => {
    const [a, b] = [left, right].map((unit) => describeUnit(imageOf(family, unit), profile)) as [Unit, Unit];
    return comparePair(a, b, following(a, b)).pieces.flatMap(({ rule, span }) =>
      rule === undefined && lengthOf(span) > 0 ? [span] : [],
    );
  });
}
