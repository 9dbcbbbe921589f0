import { formatAddress } from "../bytes/hex.js";
import { common, lengthOf, type Span, subtract, totalLength } from "../bytes/span.js";
import type { ChecksumFacts } from "../checksums/facts.js";
import { measureChecksums } from "../checksums/measure.js";
import { followingChecksums } from "../compare/following.js";
import { comparePair, type PairComparison } from "../compare/pair.js";
import { isNeverShown } from "../profile/schema/field.js";
import type { Profile } from "../profile/schema/profile.js";
import { volatileRoles } from "../profile/schema/region.js";
import { sideNames, sideSaid } from "../unit/side.js";
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

/** A read seen through the profile. */
interface SeenRead extends Subject {
  readonly read: number;
  readonly unit: Unit;
  readonly checksums: readonly ChecksumFacts[];
}

/** Every statement of `profile` held against the reads of `family`. */
export function heldAgainst(profile: Profile, family: Family): HeldStatement[] {
  const seen = family.reads.map(({ name, image }, read): SeenRead => {
    const unit = describeUnit(image, profile);
    return { names: [name], read, unit, checksums: measureChecksums(unit) };
  });
  return [
    memoryHeld(profile, seen),
    ...regionsHeld(profile, family, seen),
    ...fieldsHeld(profile, family, seen),
    ...checksumsHeld(profile, seen),
    ...pairHeld(profile, family, seen),
  ];
}

/** What a statement is held against: one read, or the two of a pair. */
interface Subject {
  readonly names: readonly string[];
}

interface Said {
  readonly supports: boolean;
  readonly contradiction?: Omit<Contradiction, "reads">;
}

/** One statement, with what each subject says of it; undefined where one says nothing. */
function heldBy<T extends Subject>(
  by: HeldStatement["by"],
  subjects: readonly T[],
  path: string,
  statement: string,
  says: (subject: T) => Said | undefined,
): HeldStatement {
  const said = subjects.map((subject) => ({ reads: subject.names, ...says(subject) }));
  return {
    path,
    statement,
    supported: said.filter(({ supports }) => supports).length,
    of: subjects.length,
    by,
    contradictions: said.flatMap(({ reads, contradiction }) => (contradiction ? [{ reads, ...contradiction }] : [])),
  };
}

function against(what: string, span?: Span): Said {
  return { supports: false, contradiction: { what: reason(what), ...(span && { start: span.start }) } };
}

function memoryHeld({ memory }: Profile, seen: readonly SeenRead[]): HeldStatement {
  const sizes = memory.size === undefined ? [] : [memory.size].flat();
  return heldBy("read", seen, "memory", "memory", ({ unit }) => {
    const { bounds } = unit.read;
    if (!bounds || sizes.length === 0) return undefined;
    const size = bounds.end - memory.base;
    if (sizes.includes(size)) return { supports: true };
    return against(`expected ${sizes.join(" or ")} bytes from ${formatAddress(memory.base)} on, got ${size}`);
  });
}

function regionsHeld({ regions }: Profile, family: Family, seen: readonly SeenRead[]): HeldStatement[] {
  return regions.map(({ name, role }, i) =>
    heldBy("read", seen, `regions[${i}]`, `region ${name}`, ({ read, unit }) => {
      const placed = unit.regions[i] as Unit["regions"][number];
      if (placed.obstacle) return against(`its place could not be told: ${obstacleText(placed.obstacle)}`);
      if (placed.spans.length === 0) return undefined;
      if (totalLength(subtract(placed.spans, unit.image.spans)) > 0) return undefined;
      const moving = volatileRoles.includes(role)
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

function fieldsHeld({ fields }: Profile, family: Family, seen: readonly SeenRead[]): HeldStatement[] {
  return fields.map((field, i) =>
    heldBy("read", seen, `fields[${i}]`, `field ${field.name}`, ({ read, unit }) => {
      const reading = unit.fields[i] as Unit["fields"][number];
      if (reading.status === "not-applicable" || reading.status === "unread") return undefined;
      if (reading.status === "unplaced") return against(`could not be read: ${obstacleText(reading.obstacle)}`);
      const secret = isNeverShown(field);
      if (reading.status === "wrong") {
        return against(`${secret ? "its value" : reading.shown}: ${faultTexts[reading.fault]}`, reading.span);
      }
      const shown = (other: number) => {
        const twin = (seen[other] as SeenRead).unit.fields[i] as Unit["fields"][number];
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

function checksumsHeld({ checksums }: Profile, seen: readonly SeenRead[]): HeldStatement[] {
  return checksums.map(({ name }, i) =>
    heldBy("read", seen, `checksums[${i}]`, `checksum ${name}`, ({ checksums: measured }) => {
      const own = measured.filter(({ rule }) => rule === name);
      const failing = own.find(({ status }) => status === "fails");
      if (failing) {
        return against(
          `stores ${failing.stored ?? "another value"}, ${failing.computed ?? "no value"} would hold`,
          failing.storedAt,
        );
      }
      return own.some(({ status }) => status === "holds") ? { supports: true } : undefined;
    }),
  );
}

function pairHeld({ pair }: Profile, family: Family, seen: readonly SeenRead[]): HeldStatement[] {
  if (!pair) return [];
  const pairs = family.pairs.map(({ left, right }) => {
    const [a, b] = [left, right].map((unit) => seen[firstRead(family, unit)]) as [SeenRead, SeenRead];
    const comparison = comparePair(a.unit, b.unit, followingChecksums(a.checksums, b.checksums));
    return { names: [...a.names, ...b.names], a: a.unit, b: b.unit, comparison };
  });
  const names = sideNames(pair);
  return [
    ...(pair.sides?.field === undefined
      ? []
      : [
          heldBy("pair", pairs, "pair.sides", "the sides", ({ a, b }) => {
            const [left, right] = [sideSaid(a), sideSaid(b)];
            if (left === names.left && right === names.right) return { supports: true };
            return against(
              `expected ${names.left} and ${names.right}, got ${left ?? "no side"} and ${right ?? "no side"}`,
            );
          }),
        ]),
    ...pair.rules.map(({ name }, i) =>
      heldBy("pair", pairs, `pair.rules[${i}]`, `pairing rule ${name}`, ({ comparison }) => {
        const { status, at, expected, found } = comparison.rules[i] as PairComparison["rules"][number];
        if (status === "broken") return against(`expected ${expected ?? "another value"}, got ${found ?? "none"}`, at);
        return status === "holds" ? { supports: true } : undefined;
      }),
    ),
    heldBy("pair", pairs, "pair", "that all else is the same in both units", ({ comparison }) => {
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

/** Where the two units of told pairs differ and no rule of `profile` says why. */
export function unexplainedIn(profile: Profile, family: Family): Span[] {
  return family.pairs.flatMap(({ left, right }) => {
    const [a, b] = [left, right].map((unit) => describeUnit(imageOf(family, unit), profile)) as [Unit, Unit];
    return comparePair(a, b, followingChecksums(measureChecksums(a), measureChecksums(b))).pieces.flatMap(
      ({ rule, span }) => (rule === undefined && lengthOf(span) > 0 ? [span] : []),
    );
  });
}
