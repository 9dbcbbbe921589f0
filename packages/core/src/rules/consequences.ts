import { catalogue, type FindingCode, finding } from "../findings/catalogue.js";
import { type Check, findingsOf } from "./rule.js";
import type { SoundnessQuestion } from "./soundness.js";

/** Rules that read values out of the memory: what they find in a damaged read says nothing of its own. */
const readingValues =
  /^(unit\/(marks-fit|fields-readable|regions-written|all-described|on-its-side|values-of-its-side)|checksum\/|identity\/|release\/)/;
/** Rules on where the content lies: what they find of one that lies elsewhere is that. */
const ofPlace = /^unit\/(size-fits|regions-read)$/;
/** What a read leaves open that ends before what is asked for. */
const openByCut =
  /^(unit\/(fields-unread|field-unreadable|region-unread|side-untold)|checksum\/(not-computable|uncovered|order-unseen)|identity\/.*(untold|unreadable)|release\/.*untold)$/;

/**
 * `checks` of one unit, without what only follows from one fault that explains it all: a fault of the whole read that
 * was named for certain, content that lies elsewhere, or a read that was cut short. What was put aside is counted in a note beside that fault.
 */
export function withoutConsequences(checks: readonly Check[], soundness: SoundnessQuestion): Check[] {
  const damage = damageOf(soundness);
  if (damage) return putAside(checks, damage, ({ rule }) => readingValues.test(rule));
  const moved = checks.flatMap(findingsOf).find(({ code }) => code === "unit/content-moved");
  if (moved) return putAside(checks, moved.code, ({ rule }) => ofPlace.test(rule) || readingValues.test(rule));
  const size = checks.flatMap(findingsOf).find(({ code }) => code === "unit/size-unlisted");
  const short = size?.code === "unit/size-unlisted" && size.facts.bytes < Math.min(...size.facts.allowed);
  if (!short) return [...checks];
  return putAside(checks, size.code, (check) => findingsOf(check).every(({ code }) => openByCut.test(code)));
}

/** The fault of the whole read that was named for certain, if one was: it explains whatever else is wrong with it. */
export function damageOf({ cause }: SoundnessQuestion): FindingCode | undefined {
  const [lead] = cause.told;
  return lead?.reach === "whole" && catalogue[lead.code].severity === "stop" ? lead.code : undefined;
}

/** Rules that hold two reads against each other: with a damaged one they say nothing but that it is damaged. */
const comparing = /^(pair\/(?!two-units-given)|readback\/)/;

/** `checks` of two reads, without what the comparison found only because one of them is damaged as said. */
export function withoutComparison(checks: readonly Check[], damages: readonly (FindingCode | undefined)[]): Check[] {
  const [damage] = damages.filter((one) => one !== undefined);
  return damage ? putAside(checks, damage, ({ rule }) => comparing.test(rule)) : [...checks];
}

function putAside(checks: readonly Check[], cause: FindingCode, follows: (check: Check) => boolean): Check[] {
  const codes = new Map<string, number>();
  const kept = checks.map((check): Check => {
    const { judgement } = check;
    if (!follows(check) || (judgement.outcome !== "fail" && judgement.outcome !== "unknown")) return check;
    for (const { code } of judgement.findings) codes.set(code, (codes.get(code) ?? 0) + 1);
    return { ...check, judgement: { outcome: "not-applicable", because: `what was seen is explained by ${cause}` } };
  });
  if (codes.size === 0) return kept;
  const facts = { cause, codes: [...codes].map(([code, count]) => ({ code, count })) };
  return kept.map((check) => {
    const { judgement } = check;
    if (judgement.outcome !== "fail" || !judgement.findings.some(({ code }) => code === cause)) return check;
    const [first, ...rest] = judgement.findings;
    return {
      ...check,
      judgement: { ...judgement, findings: [first, ...rest, finding("soundness/consequences", facts)] },
    };
  });
}
