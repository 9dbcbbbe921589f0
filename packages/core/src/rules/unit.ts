import { type Span, totalLength } from "../bytes/span.js";
import type { ProvedPlace } from "../checksums/proved-place.js";
import type { OtherSideValue } from "../compare/side-values.js";
import { type Finding, finding } from "../findings/catalogue.js";
import type { DescribedTwice } from "../unit/described-twice.js";
import type { FieldReading } from "../unit/field.js";
import type { BlankRegion, RegionHoles } from "../unit/regions-in-doubt.js";
import type { SideReading } from "../unit/side.js";
import type { Stretch } from "../unit/undescribed.js";
import type { PlacedRegion } from "../unit/unit.js";
import { faultTexts, obstacleText } from "../unit/words.js";
import { judgement, type Rule } from "./rule.js";

/** What was measured about one unit and its profile, as far as size, regions and fields go. */
export interface UnitQuestion {
  readonly profile: string;
  readonly confirmed: boolean;
  /** What the profile says and a person has still to confirm. */
  readonly unconfirmed: readonly string[];
  /** What the source of the profile says and the profile does not. */
  readonly leftOut: readonly string[];
  /** Known bytes from the first to one past the last address, and the sizes that the profile allows. */
  readonly extent: number;
  /** Whether the file cannot leave anything out: then a smaller extent is a cut and not a hole. */
  readonly exact: boolean;
  readonly sizes: readonly number[];
  readonly memory: Span | undefined;
  /** Where the content would have to lie; undefined when nothing proves that it is elsewhere. */
  readonly place: ProvedPlace | undefined;
  /** Whether a checksum holds over anything as it lies. */
  readonly held: boolean;
  readonly outside: Stretch;
  readonly undescribed: Stretch;
  readonly describedTwice: readonly DescribedTwice[];
  readonly erasedHoles: { readonly bytes: number; readonly erased: number; readonly spans: readonly Span[] };
  readonly unconfirmedHoles: readonly RegionHoles[];
  readonly regions: readonly (PlacedRegion & { readonly bytes: number; readonly missing: readonly Span[] })[];
  readonly fields: readonly FieldReading[];
  readonly side: SideReading;
  /** The side that the unit was said to be on, when somebody said so. */
  readonly wantedSide: string | undefined;
  /** Undefined when nobody asks. */
  readonly blank: readonly BlankRegion[] | undefined;
  /** Where the unit holds other values than its side demands; undefined when that is not asked, or cannot be told. */
  readonly otherSideValues: readonly OtherSideValue[] | undefined;
}

/** Findings of one kind that are told at the most. */
const toldOneByOne = 16;

export const unitRules: readonly Rule<UnitQuestion>[] = [
  {
    id: "unit/profile-confirmed",
    judge: ({ profile, confirmed, unconfirmed, leftOut }) =>
      judgement(
        [],
        [
          ...(confirmed ? [] : [finding("unit/profile-unconfirmed", { profile })]),
          ...(unconfirmed.length === 0
            ? []
            : [finding("unit/statements-unconfirmed", { profile, statements: unconfirmed })]),
        ],
        leftOut.length === 0 ? [] : [finding("unit/profile-leaves-out", { profile, items: leftOut })],
      ),
  },
  {
    id: "unit/marks-fit",
    judge: ({ fields }) => {
      const marks = fields.filter(({ field }) => field.equals !== undefined);
      if (marks.length === 0)
        return { outcome: "not-applicable", because: "the profile has no field that marks the family" };
      return judgement(marks.flatMap(wrongMark), [...unread(marks), ...marks.flatMap(unreadable)]);
    },
  },
  {
    id: "unit/content-in-place",
    judge: ({ place, held }) =>
      place || held
        ? judgement(place ? [finding("unit/content-moved", { ...place })] : [], [])
        : { outcome: "not-applicable", because: "no checksum that holds tells it" },
  },
  {
    id: "unit/size-fits",
    judge: ({ extent, exact, sizes, memory, outside }) => {
      if (sizes.length === 0) return { outcome: "not-applicable", because: "the profile states no size" };
      return judgement(
        outside.first && memory
          ? [
              finding(
                "unit/data-outside-memory",
                { bytes: outside.bytes, memory, first: outside.first.start },
                { span: outside.first },
              ),
            ]
          : exact && !sizes.includes(extent)
            ? [finding("unit/size-unlisted", { bytes: extent, allowed: sizes }, ...lacking(extent, memory))]
            : [],
        [],
      );
    },
  },
  {
    id: "unit/regions-read",
    judge: ({ regions, erasedHoles, unconfirmedHoles }) =>
      judgement(
        [],
        [
          ...regions.flatMap((region) => unreadRegion(region)),
          ...unconfirmedHoles.map(({ region, spans }) =>
            finding(
              "unit/holes-unconfirmed",
              { region, bytes: totalLength(spans), first: spans[0]?.start ?? 0 },
              ...spans.slice(0, 8).map((span) => ({ span, region })),
            ),
          ),
        ],
        erasedHoles.bytes === 0
          ? []
          : [
              finding(
                "unit/holes-read-as-erased",
                { bytes: erasedHoles.bytes, erased: erasedHoles.erased },
                ...erasedHoles.spans.slice(0, 8).map((span) => ({ span })),
              ),
            ],
      ),
  },
  {
    id: "unit/regions-written",
    judge: ({ blank }) =>
      blank === undefined
        ? { outcome: "not-applicable", because: "it is asked where the content comes from" }
        : judgement(
            [],
            blank.map(({ region, role, value, bytes, spans }) =>
              finding(
                "unit/region-blank",
                { region, role, value, bytes },
                ...spans.slice(0, 8).map((span) => ({ span, region })),
              ),
            ),
          ),
  },
  {
    id: "unit/all-described",
    judge: ({ undescribed: { bytes, first }, describedTwice }) =>
      judgement(
        [],
        [
          ...(first ? [finding("unit/bytes-undescribed", { bytes, first: first.start }, { span: first })] : []),
          ...describedTwice
            .slice(0, toldOneByOne)
            .map(({ first: one, second, spans }) =>
              finding(
                "unit/bytes-described-twice",
                { first: one, second, bytes: totalLength(spans), at: spans[0].start },
                ...spans.slice(0, 8).map((span) => ({ span, region: one.region })),
              ),
            ),
        ],
      ),
  },
  {
    id: "unit/fields-readable",
    judge: ({ fields }) => {
      const values = fields.filter(({ field, status }) => field.equals === undefined && status !== "not-applicable");
      if (values.length === 0) return { outcome: "not-applicable", because: "the profile has no field" };
      return judgement([], [...values.flatMap(implausible), ...unread(values), ...values.flatMap(unreadable)]);
    },
  },
  {
    id: "unit/on-its-side",
    judge: ({ side, wantedSide }) => {
      if (wantedSide === undefined)
        return { outcome: "not-applicable", because: "nobody said which side the unit is on" };
      if (side.status === "told" && side.side === wantedSide) return { outcome: "pass" };
      const facts = {
        wanted: wantedSide,
        found: side.status === "told" ? side.side : "shown" in side ? side.shown : "nothing",
      };
      return side.status === "told" || side.status === "unlisted"
        ? judgement([finding("unit/side-other", facts)], [])
        : judgement([], [finding("unit/side-untold", { wanted: wantedSide })]);
    },
  },
  {
    id: "unit/values-of-its-side",
    judge: ({ otherSideValues }) =>
      otherSideValues === undefined
        ? { outcome: "not-applicable", because: "no value is known of the unit's side alone" }
        : judgement(
            otherSideValues.map(({ over, ...facts }) =>
              finding("unit/side-value-other", facts, ...over.slice(0, 8).map((span) => ({ span }))),
            ),
            [],
          ),
  },
];

/** The end of the memory that the read does not reach. */
function lacking(extent: number, memory: Span | undefined): { readonly span: Span }[] {
  const end = memory && memory.start + extent;
  return memory && end !== undefined && end < memory.end ? [{ span: { start: end, end: memory.end } }] : [];
}

function wrongMark(reading: FieldReading): Finding[] {
  if (reading.status !== "wrong" || reading.fault !== "not-the-mark") return [];
  const { field, shown, span } = reading;
  const expected =
    field.type === "unsigned" && field.show === "hex" ? `0x${Number(field.equals).toString(16)}` : String(field.equals);
  return [finding("unit/mark-wrong", { field: field.name, expected, found: shown }, { span })];
}

function implausible(reading: FieldReading): Finding[] {
  if (reading.status !== "wrong") return [];
  const { field, shown, span, fault } = reading;
  if (fault === "erased") return field.required ? [finding("unit/field-erased", { field: field.name }, { span })] : [];
  const listed = field.oneOf?.map(String).join(" or ");
  const pattern = "pattern" in field ? field.pattern : undefined;
  const rule = listed ?? pattern ?? `a value of type ${field.type}`;
  return [
    finding("unit/field-implausible", { field: field.name, found: shown, fault: faultTexts[fault], rule }, { span }),
  ];
}

/** All fields whose bytes were not read, as one finding: they have one cause. */
function unread(readings: readonly FieldReading[]): Finding[] {
  const lost = readings.filter(({ field, status }) => field.required && status === "unread");
  if (lost.length === 0) return [];
  const places = lost.flatMap((reading) => ("span" in reading ? [{ span: reading.span }] : []));
  return [finding("unit/fields-unread", { fields: lost.map(({ field }) => field.name) }, ...places.slice(0, 8))];
}

function unreadable(reading: FieldReading): Finding[] {
  const { field } = reading;
  if (!field.required || reading.status !== "unplaced") return [];
  return [finding("unit/field-unreadable", { field: field.name, reason: obstacleText(reading.obstacle) })];
}

function unreadRegion({ name, obstacle, bytes, missing }: UnitQuestion["regions"][number]): Finding[] {
  if (obstacle) return [finding("unit/region-unplaced", { region: name, reason: obstacleText(obstacle) })];
  const first = missing[0];
  if (!first) return [];
  const total = missing.reduce((sum, span) => sum + span.end - span.start, 0);
  return [
    finding(
      "unit/region-unread",
      { region: name, missing: total, of: bytes, first: first.start },
      ...missing.slice(0, 8).map((span) => ({ span, region: name })),
    ),
  ];
}
