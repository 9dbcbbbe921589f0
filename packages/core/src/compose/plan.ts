import { normalised, overlap, type Span, sameSpans, subtract, totalLength } from "../bytes/span.js";
import { missingOf } from "../compare/donor.js";
import type { Origin } from "../profile/schema/donor.js";
import type { Role } from "../profile/schema/region.js";
import type { Unit } from "../unit/unit.js";

/** What becomes of one region, or of all that lies in none. */
export interface PlanPart {
  /** Undefined for what lies outside all regions. */
  readonly region: string | undefined;
  readonly role: Role | undefined;
  readonly origin: Origin;
  /** Who says so: the profile, the role; `open` when nobody does, and the donor's is kept for want of a word. */
  readonly decided: "profile" | "role" | "open";
  readonly why: string;
  /** Sorted and disjoint. */
  readonly spans: readonly Span[];
  /** What of it the unit that it comes from does not know. */
  readonly missing: readonly Span[];
}

/** Where every byte of a composed image comes from. */
export interface Plan {
  /** In the order of the profile, what lies outside all regions last. */
  readonly parts: readonly PlanPart[];
  /** Regions whose place cannot be told in the unit that they come from. */
  readonly unplaced: readonly string[];
  /** Regions that stay the donor's and that the source has elsewhere: its software would look for them there. */
  readonly moved: readonly string[];
  /** Regions that would lie over one another. */
  readonly overlapping: readonly { readonly first: string; readonly second: string; readonly at: Span }[];
}

/** Where a region comes from when the profile does not say, and why; nothing where only the profile can say. */
const byRole: Readonly<Record<Role, { readonly origin: Origin; readonly why: string } | undefined>> = {
  boot: { origin: "donor", why: "the start code belongs to the board that it starts" },
  program: { origin: "source", why: "the software that the machine is to run" },
  calibration: { origin: "source", why: "goes with the program" },
  coding: { origin: "source", why: "how this machine is built" },
  spare: { origin: "donor", why: "nothing is meant to be there" },
  adaptation: undefined,
  faults: undefined,
  immobiliser: undefined,
  identity: undefined,
};

const undecided = "the profile does not say; the donor's is kept until it does";

/** Where each region of the profile comes from when `donor` is written with what `source` holds. */
export function planOf(source: Unit, donor: Unit): Plan {
  const { profile } = source;
  const parts: PlanPart[] = [];
  const unplaced: string[] = [];
  const moved: string[] = [];
  for (const [i, region] of profile.regions.entries()) {
    const { name, role } = region;
    const rule = profile.donor?.regions.find((one) => one.region === name);
    const usual = byRole[role];
    const choice = rule ?? usual ?? { origin: "donor" as const, why: undecided };
    const own = source.regions[i];
    const other = donor.regions[i];
    const from = choice.origin === "source" ? own : other;
    if (!own || !other || !from || from.obstacle) {
      unplaced.push(name);
      continue;
    }
    if (choice.origin !== "source" && !own.obstacle && !sameSpans(own.spans, other.spans)) moved.push(name);
    if (from.spans.length === 0) continue;
    parts.push({
      region: name,
      role,
      origin: choice.origin,
      decided: rule ? "profile" : usual ? "role" : "open",
      why: choice.why,
      spans: from.spans,
      missing: choice.origin === "erased" ? [] : missingOf(choice.origin === "source" ? source : donor, from.spans),
    });
  }
  const planned = parts.flatMap(({ spans }) => spans);
  const rest = subtract(donor.image.spans, planned);
  if (rest.length > 0) {
    parts.push({
      region: undefined,
      role: undefined,
      origin: "donor",
      decided: "role",
      why: "in no region: left as the donor has it",
      spans: rest,
      missing: [],
    });
  }
  return { parts, unplaced, moved, overlapping: overlapping(parts) };
}

/** Whether `plan` says where every byte comes from, once. */
export function holdsTogether({ parts, unplaced, moved, overlapping: twice }: Plan): boolean {
  const whole = parts.every(({ missing }) => missing.length === 0);
  return whole && parts.length > 0 && unplaced.length === 0 && moved.length === 0 && twice.length === 0;
}

/** The spans of the parts that come from `origin`, normalised. */
export function spansFrom({ parts }: Plan, origin: Origin): readonly Span[] {
  return normalised(parts.filter((part) => part.origin === origin).flatMap(({ spans }) => spans));
}

/** Neighbours in the order of their starts that share an address: where any two parts do, such neighbours do. */
function overlapping(parts: readonly PlanPart[]): Plan["overlapping"] {
  const placed = parts
    .flatMap(({ region, spans }) => spans.map((span) => ({ region: region ?? "", span })))
    .sort((a, b) => a.span.start - b.span.start);
  if (totalLength(placed.map(({ span }) => span)) === totalLength(normalised(placed.map(({ span }) => span))))
    return [];
  const found: { first: string; second: string; at: Span }[] = [];
  let furthest = placed[0];
  for (const next of placed.slice(1)) {
    if (furthest && overlap(furthest.span, next.span)) {
      const at = { start: next.span.start, end: Math.min(furthest.span.end, next.span.end) };
      found.push({ first: furthest.region, second: next.region, at });
    }
    if (!furthest || next.span.end > furthest.span.end) furthest = next;
  }
  return found;
}
