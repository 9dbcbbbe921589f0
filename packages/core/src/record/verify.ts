import { finding } from "../findings/catalogue.js";
import type { Place } from "../findings/finding.js";
import { Refusal } from "../findings/refusal.js";
import { reportCheck, reportFinding } from "../report/assemble.js";
import type { ReportCheck, ReportFinding } from "../report/schema.js";
import { ask, findingsOf, judgement, type Rule } from "../rules/rule.js";
import { type Verdict, verdictOf } from "../verdict/verdict.js";
import { type ChainFacts, followChain, type Link } from "./links.js";
import type { RecordReading } from "./read.js";

/** Whether a record is still what was written. */
export interface RecordVerification {
  /** `clear`: it holds; `stop`: entries were changed, moved, put in or taken out; `review`: only its layout is another. */
  readonly verdict: Verdict;
  readonly checks: readonly ReportCheck[];
  /** What is wrong, each with the line of the file. */
  readonly findings: readonly ReportFinding[];
}

interface Facts {
  readonly reading: RecordReading;
  readonly chain: ChainFacts;
  readonly noted: string | undefined;
  readonly at: (link: Link | undefined) => Place;
}

const rules: readonly Rule<Facts>[] = [
  {
    id: "record/entries-as-written",
    judge: ({ chain, at }) =>
      judgement(
        chain.changed.map((link) => {
          const facts = { entry: link.number, stored: link.entry.digest, computed: link.computed };
          return finding("record/entry-changed", facts, at(link));
        }),
        [],
      ),
  },
  {
    id: "record/chain-unbroken",
    judge: ({ chain, at, reading }) =>
      judgement(
        [
          ...chain.replaced.map(({ before, after }) => {
            const wanted = after.entry.previous ?? "no entry before it";
            const facts = { entry: before?.number ?? 0, wanted, found: before?.entry.digest ?? "no entry before it" };
            return finding("record/entry-replaced", facts, at(before ?? after));
          }),
          ...chain.inserted.map((link) => finding("record/entry-inserted", { entry: link.number }, at(link))),
          ...chain.moved.map((link) => finding("record/entry-moved", { entry: link.number }, at(link))),
          ...chain.missing.map(({ first, last, after }) => {
            const atEnd = last === reading.record.last.number && after === chain.end;
            return finding("record/entries-missing", { first, last, atEnd }, at(after));
          }),
        ],
        [],
      ),
  },
  {
    id: "record/end-as-named",
    judge: ({ chain: { end, endHolds }, reading: { record }, at }) => {
      const { number, digest } = record.last;
      const facts = { named: number, namedDigest: digest, entry: end.number, digest: end.entry.digest };
      return judgement(endHolds ? [] : [finding("record/end-differs", facts, at(end))], []);
    },
  },
  {
    id: "record/layout-as-written",
    judge: ({ reading }) => judgement([], reading.asWritten ? [] : [finding("record/written-otherwise", {})]),
  },
  {
    id: "record/noted-digest-present",
    judge: ({ noted, chain, at, reading }) => {
      const entries = reading.record.entries.length;
      if (noted === undefined) return judgement([], [], [finding("record/end-unproven", { entries })]);
      const link = chain.links.find(({ computed, changed }) => computed === noted && !changed);
      if (!link) return judgement([finding("record/noted-digest-absent", { digest: noted })], []);
      const since = entries - 1 - link.index;
      const facts = { entry: link.number, entries: since };
      return judgement([], [], since === 0 ? [] : [finding("record/added-since-noted", facts, at(link))]);
    },
  },
];

/**
 * Holds a record against itself, and against `noted`, the digest of any of its entries as a report printed it. Without
 * one, an end that was cut off or rewritten together with the closing line cannot show; that is said as a note.
 * @throws Refusal when `noted` is no digest
 */
export function verifyRecord(reading: RecordReading, noted?: string): RecordVerification {
  if (noted !== undefined && !/^[0-9a-fA-F]{64}$/.test(noted)) {
    throw new Refusal("record/no-digest", `expected a digest of 64 hexadecimal digits, got ${noted}`);
  }
  const checks = ask(rules, "record", {
    reading,
    chain: followChain(reading.record),
    noted: noted?.toLowerCase(),
    at: (link) => ({ line: reading.lines[link?.index ?? 0] as number }),
  });
  const findings = checks.flatMap(findingsOf);
  return {
    verdict: verdictOf(checks, findings),
    checks: checks.map(reportCheck),
    findings: findings.map((one) => reportFinding(one, "record")),
  };
}
