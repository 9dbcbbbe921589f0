import { type Span, totalLength } from "../bytes/span.js";
import { bitsOneWay } from "../compare/readback.js";
import type { OwnValue } from "../compare/two-units.js";
import { type Finding, finding } from "../findings/catalogue.js";
import type { ReadDifference } from "../soundness/read-differences.js";
import { judgement, type Rule } from "./rule.js";

/** One further read of a unit beside the first one, by their roles. */
export interface FurtherRead {
  readonly first: string;
  readonly other: string;
  /** The earlier read that it equals in every byte, also in what the unit writes by itself. */
  readonly equals: string | undefined;
  readonly difference: ReadDifference;
  /** The earlier read that is of another unit for certain, and the values that say so. */
  readonly mixed: { readonly with: string; readonly values: readonly OwnValue[] } | undefined;
}

/** What the rules on several reads are asked of. */
export interface ReadsQuestion {
  readonly further: readonly FurtherRead[];
  /** Whether a profile says what a unit writes by itself. */
  readonly profiled: boolean;
  /** What erased memory reads as: the way in which cells lose their charge. */
  readonly erased: number | undefined;
}

/** What a vote of several reads comes to. */
export interface VoteFacts {
  readonly reads: number;
  readonly settled: number;
  readonly open: number;
  readonly openSpans: readonly Span[];
  /** Reads that are a copy of an earlier one, or cannot be told from one: their votes may be the same vote. */
  readonly copies: readonly { readonly first: string; readonly other: string }[];
  /** The read that what the unit writes by itself was taken from, and how much that is. */
  readonly first: string;
  readonly own: number;
}

export interface VoteQuestion {
  /** Undefined when there were too few reads. */
  readonly vote: VoteFacts | undefined;
}

/** Runs that a finding names at the most. */
const runsNamed = 8;

export const readsRules: readonly Rule<ReadsQuestion>[] = [
  {
    id: "soundness/reads-agree",
    judge: ({ further, profiled, erased }) => {
      if (further.length === 0) return { outcome: "not-applicable", because: "one read was given" };
      const ofTwo = further.flatMap(({ other, mixed }) =>
        mixed
          ? [
              finding(
                "soundness/reads-of-two-units",
                { first: mixed.with, other, values: mixed.values },
                { role: other },
              ),
            ]
          : [],
      );
      const ofOneUnit = further.filter(({ mixed }) => mixed === undefined);
      const unequal = ofOneUnit.flatMap((read) => differing(read, profiled));
      const otherExtent = further.flatMap(({ first, other, difference: { oneSided } }) => {
        const span = oneSided[0];
        const facts = { first, other, bytes: totalLength(oneSided) };
        return span ? [finding("soundness/reads-of-other-extent", facts, { role: other, span })] : [];
      });
      // Only a profile says where a unit writes by itself; what it writes there can look like any of these causes.
      const causes = profiled ? ofOneUnit.flatMap((read) => causeOfDifference(read, erased)) : [];
      const equal = further.flatMap(({ equals, other }) =>
        equals === undefined ? [] : [finding("soundness/reads-equal", { first: equals, other }, { role: other })],
      );
      return profiled
        ? judgement([...ofTwo, ...otherExtent, ...causes, ...unequal], [], equal)
        : judgement(otherExtent, unequal, equal);
    },
  },
];

export const voteRules: readonly Rule<VoteQuestion>[] = [
  {
    id: "soundness/majority-for-every-byte",
    judge: ({ vote }) => {
      if (!vote) return { outcome: "not-applicable", because: "fewer than three reads were given" };
      const { reads, settled, open, openSpans, copies, first, own } = vote;
      const [start] = openSpans;
      const places = openSpans.slice(0, runsNamed).map((span) => ({ span }));
      return judgement(
        [],
        [
          ...(start ? [finding("soundness/vote-open", { open, settled, reads, first: start.start }, ...places)] : []),
          ...(settled > 0 ? copies : []).map((copy) =>
            finding("soundness/read-given-twice", copy, { role: copy.other }),
          ),
        ],
        start || (settled === 0 && own === 0) ? [] : [finding("soundness/vote-taken", { settled, reads, own, first })],
      );
    },
  },
];

function differing({ first, other, difference }: FurtherRead, profiled: boolean): Finding[] {
  const { bytes, runs, runCount, raised, lowered } = difference;
  const start = runs[0]?.start;
  if (bytes === 0 || start === undefined) return [];
  const facts = { first, other, bytes, runs: runCount, at: start, raised, lowered };
  const code = profiled ? "soundness/reads-differ" : "soundness/reads-differ-unexplained";
  return [finding(code, facts, ...runs.slice(0, runsNamed).map((span) => ({ role: other, span })))];
}

/** The one thing that would explain how a read differs, the most particular first; nothing when nothing does. */
function causeOfDifference({ other, difference }: FurtherRead, erased: number | undefined): Finding[] {
  const { bytes, runs, raised, lowered, dataLine, addressLine, shift, read } = difference;
  const span = runs[0];
  if (bytes === 0 || !span) return [];
  const place = { role: other, span };
  const first = span.start;
  if (shift) return [finding("soundness/reads-shifted", { ...shift, read: read + 1 }, place)];
  if (dataLine) return [finding("soundness/contact-on-data-line", { ...dataLine, bytes, first }, place)];
  if (addressLine) return [finding("soundness/contact-on-address-line", { ...addressLine, bytes, first }, place)];
  const bits = raised + lowered;
  // Which of the two reads lost it is open: only the way that all of its bits went is told.
  const oneWay = bits >= bitsOneWay && erased === 0xff && (raised === 0 || lowered === 0);
  return oneWay ? [finding("soundness/charge-lost", { bytes, bits, first }, place)] : [];
}
