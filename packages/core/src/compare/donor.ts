import { type Span, subtract } from "../bytes/span.js";
import { compareFingerprints, type FingerprintResult } from "../fingerprint/fingerprint.js";
import type { IdentityReading } from "../identity/reading.js";
import { differenceOf, differingSpansBut } from "../image/difference.js";
import { sizesOf } from "../profile/check.js";
import { acceptanceOf, hardwareFor } from "../profile/hardware.js";
import { comparableWord, sameNumber } from "../profile/number.js";
import type { Meaning } from "../profile/schema/field.js";
import { type FieldReading, fieldValue } from "../unit/field.js";
import { fieldNamed, fieldOfMeaning, type Unit } from "../unit/unit.js";

/** A number that source and donor state, and where the donor states it. */
interface Stated {
  readonly source: string | undefined;
  readonly donor: string | undefined;
  readonly at: Span | undefined;
}

/** Whether the donor's hardware may take what the source runs. */
export interface HardwareStanding extends Stated {
  /** `expected`: the profile says which hardware it expects of a donor, whatever the source's is. */
  readonly standing: "same" | "listed" | "superseding" | "refused" | "untold" | "expected";
  /** Numbers that may, the source's own first. */
  readonly accepted: readonly string[];
}

/** Whether the donor's own boot software starts the source's program. */
export interface BootStanding extends Stated {
  /**
   * `same`: version and content are the source's. `accepts`, `refuses`: the profile lists the version, and the software
   * is or is not among what it starts. `unlisted`: another version, of which the profile says nothing. `changed`: the
   * source's version with other content. `untold`: the versions or the software cannot be told.
   */
  readonly standing: "none" | "same" | "accepts" | "refuses" | "unlisted" | "changed" | "untold";
  readonly software: string | undefined;
  /** What the profile says that the donor's version starts. */
  readonly starts: readonly string[];
}

/** Whether both parts are of one size. */
export interface SizeStanding {
  /** `source-unlisted`: the read of the source has no size that the profile allows, and the donor's has. */
  readonly standing: "same" | "different" | "source-unlisted" | "untold";
  readonly source: number | undefined;
  readonly donor: number | undefined;
}

/** Whether source and donor are two units at all. */
export interface UnitsStanding {
  /** The serial number that both carry, with the field and its place in the donor; undefined when they differ. */
  readonly sameSerial: { readonly field: string; readonly value: string; readonly at: Span } | undefined;
  /** Whether they hold the same bytes at the same addresses, but for what a unit writes by itself. */
  readonly identical: boolean;
}

/** What is needed of one of the two units. */
export interface DonorSide {
  readonly unit: Unit;
  readonly fingerprints: readonly FingerprintResult[];
  /** What is known of who it is, from its content and from outside. */
  readonly readings: readonly IdentityReading[];
  readonly software: string | undefined;
  /** Whether its file cannot leave anything out. */
  readonly exact: boolean;
}

/** Everything that was measured about a source and a donor beside each other. */
export interface DonorComparison {
  readonly hardware: HardwareStanding;
  readonly boot: BootStanding;
  readonly size: SizeStanding;
  readonly units: UnitsStanding;
}

/** A source and a donor of one profile, held against each other. Nothing in it is judged. */
export function compareDonor(source: DonorSide, donor: DonorSide): DonorComparison {
  return {
    hardware: hardwareOf(source, donor),
    boot: bootOf(source, donor),
    size: sizeOf(source, donor),
    units: unitsOf(source.unit, donor.unit),
  };
}

function hardwareOf(source: DonorSide, donor: DonorSide): HardwareStanding {
  const { hardware: rules = [], expects = [], identifiedBy } = source.unit.profile.donor ?? {};
  const told = statedBy(source.unit, donor.unit, identifiedBy?.hardware, "hardware-number");
  const hasPlace =
    identifiedBy?.hardware !== undefined || source.unit.profile.fields.some(({ means }) => means === "hardware-number");
  const stated = hasPlace
    ? told
    : { ...told, source: toldOutside(source, "hardware-number"), donor: toldOutside(donor, "hardware-number") };
  if (expects.some(({ means }) => means === "hardware-number"))
    return { ...stated, standing: "expected", accepted: [] };
  if (stated.source === undefined || stated.donor === undefined) {
    return { ...stated, standing: "untold", accepted: stated.source === undefined ? [] : [stated.source] };
  }
  const accepted = hardwareFor(rules, stated.source);
  return { ...stated, standing: acceptanceOf(rules, stated.source, stated.donor) ?? "refused", accepted };
}

/** What label and tester state; undefined when they are not at one. */
function toldOutside({ readings }: DonorSide, meaning: Meaning): string | undefined {
  const [first, ...others] = readings.find(({ subject }) => subject === meaning)?.values ?? [];
  return first && others.every(({ shown }) => sameNumber(shown, first.shown)) ? first.shown : undefined;
}

function bootOf(source: DonorSide, donor: DonorSide): BootStanding {
  const { profile } = source.unit;
  const regions = profile.regions.filter(({ role }) => role === "boot").map(({ name }) => name);
  const { software } = source;
  const stated = statedBy(source.unit, donor.unit, profile.donor?.identifiedBy.boot, "boot-version");
  const base = { ...stated, software, starts: [] as readonly string[] };
  if (regions.length === 0) return { ...base, standing: "none" };
  const alike = regions.map((region) => sameContent(region, source, donor));
  const content = alike.includes(false) ? false : alike.includes(undefined) ? undefined : true;
  const known = stated.source !== undefined && stated.donor !== undefined;
  if (content === undefined) return { ...base, standing: "untold" };
  if (known && comparableWord(stated.source) === comparableWord(stated.donor)) {
    return { ...base, standing: content ? "same" : "changed" };
  }
  // The same code under two versions is as doubtful as two codes under one.
  if (content) return { ...base, standing: known ? "changed" : "same" };
  const rule = (profile.donor?.boot ?? []).find(
    ({ version }) => stated.donor !== undefined && comparableWord(version) === comparableWord(stated.donor),
  );
  if (stated.donor === undefined || software === undefined) return { ...base, standing: "untold" };
  if (!rule) return { ...base, standing: "unlisted" };
  const accepts = rule.starts.some((number) => sameNumber(number, software));
  return { ...base, starts: rule.starts, standing: accepts ? "accepts" : "refuses" };
}

/** Whether a region holds the same in both but for what belongs to the single unit; undefined when that cannot be told. */
function sameContent(region: string, source: DonorSide, donor: DonorSide): boolean | undefined {
  const of = ({ fingerprints }: DonorSide) =>
    fingerprints.flatMap((one) =>
      one.kind === "computed" && one.fingerprint.part === region ? [one.fingerprint] : [],
    )[0];
  const [own, other] = [of(source), of(donor)];
  const standing = own && other ? compareFingerprints(own, other) : "unknown";
  return standing === "unknown" ? undefined : standing === "same";
}

function sizeOf(source: DonorSide, donor: DonorSide): SizeStanding {
  const field = source.unit.profile.donor?.identifiedBy.size;
  if (field !== undefined) {
    const [own, other] = [fieldNamed(source.unit, field), fieldNamed(donor.unit, field)];
    const [a, b] = [fieldValue(own), fieldValue(other)];
    const number = (reading: FieldReading | undefined) =>
      reading && "number" in reading && reading.number !== undefined ? Number(reading.number) : undefined;
    const told = { source: number(own), donor: number(other) };
    if (a === undefined || b === undefined) return { ...told, standing: "untold" };
    if (a !== b) return { ...told, standing: "different" };
  }
  const told = { source: partSize(source), donor: partSize(donor) };
  if (told.source === undefined || told.donor === undefined) return { ...told, standing: "untold" };
  if (told.source === told.donor) return { ...told, standing: "same" };
  const sizes = sizesOf(donor.unit.profile);
  const cut = sizes.includes(told.donor) && !sizes.includes(told.source);
  return { ...told, standing: cut ? "source-unlisted" : "different" };
}

/**
 * The size of the part that a read is of: the file's own extent when it leaves nothing out, else the one size that the
 * profile allows from what is known on. A file that leaves erased rows out does not tell one of several sizes.
 */
function partSize({ unit: { profile, read }, exact }: DonorSide): number | undefined {
  const { bounds } = read;
  if (!bounds) return undefined;
  const extent = bounds.end - profile.memory.base;
  const sizes = sizesOf(profile);
  if (exact || sizes.length === 0) return exact ? extent : undefined;
  const fitting = sizes.filter((size) => size >= extent);
  return fitting.length === 1 ? fitting[0] : fitting.length === 0 ? extent : undefined;
}

/** Whether two units hold the same, but for what a unit writes by itself. */
export function sameButVolatile(first: Unit, second: Unit): boolean {
  const difference = differenceOf(first.image, second.image);
  const volatile = [...first.volatile, ...second.volatile];
  const runs = differingSpansBut(volatile, difference, first.image, second.image);
  return subtract([...runs, ...difference.onlyFirst, ...difference.onlySecond], volatile).length === 0;
}

function unitsOf(source: Unit, donor: Unit): UnitsStanding {
  return { sameSerial: sameSerialOf(source, donor), identical: sameButVolatile(source, donor) };
}

/** The serial number that both units carry, with its field and its place in the second; undefined when there is none. */
export function sameSerialOf(first: Unit, second: Unit): UnitsStanding["sameSerial"] {
  const serials = first.fields.flatMap((own) => {
    if (own.field.means !== "serial-number") return [];
    const other = fieldNamed(second, own.field.name);
    const [a, b] = [fieldValue(own), fieldValue(other)];
    if (a === undefined || b === undefined || !sameNumber(a, b) || !other || !("span" in other)) return [];
    return [{ field: own.field.name, value: b, at: other.span }];
  });
  return serials[0];
}

function statedBy(source: Unit, donor: Unit, name: string | undefined, meaning: Meaning): Stated {
  const of = (unit: Unit) => (name === undefined ? fieldOfMeaning(unit, meaning) : fieldNamed(unit, name));
  const other = of(donor);
  return {
    source: fieldValue(of(source)),
    donor: fieldValue(other),
    at: other && "span" in other ? other.span : undefined,
  };
}

/** The bytes of `spans` that `unit` does not know. */
export function missingOf(unit: Unit, spans: readonly Span[]): readonly Span[] {
  return subtract(spans, unit.image.spans);
}
