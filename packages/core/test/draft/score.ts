import type { Span } from "../../src/bytes/span.js";
import { normalised } from "../../src/bytes/span.js";
import { measureChecksums } from "../../src/checksums/measure.js";
import type { Image } from "../../src/image/image.js";
import type { Profile } from "../../src/profile/schema/profile.js";
import type { Role } from "../../src/profile/schema/region.js";
import { describeUnit } from "../../src/unit/unit.js";

/** How a drafted profile compares with the true one of the same image. */
export interface Score {
  /** Shares of the bytes. `laxer`: the drafted role lets pass what the true one does not. */
  readonly roles: { readonly right: number; readonly stricter: number; readonly laxer: number };
  readonly fields: { readonly found: readonly string[]; readonly missed: readonly string[]; readonly meaning: number };
  readonly checksums: {
    readonly found: readonly string[];
    readonly missed: readonly string[];
    readonly false: readonly string[];
  };
}

/** Roles from strict to lax: in the first every difference counts and must be covered, in the last nothing is told. */
const strictness: Readonly<Record<Role, number>> = {
  boot: 4,
  program: 4,
  calibration: 4,
  coding: 4,
  identity: 3,
  immobiliser: 2,
  spare: 1,
  adaptation: 0,
  faults: 0,
};

export function scoreOf(drafted: Profile, truth: Profile, image: Image): Score {
  const [mine, theirs] = [describeUnit(image, drafted), describeUnit(image, truth)];
  const counts = { right: 0, stricter: 0, laxer: 0 };
  const roleAt = (unit: typeof mine, address: number) =>
    unit.regions.find(({ spans }) => spans.some(({ start, end }) => address >= start && address < end))?.role;
  const { start, end } = image.bounds as Span;
  for (let address = start; address < end; address++) {
    const [own, right] = [roleAt(mine, address), roleAt(theirs, address)];
    if (own === right) counts.right++;
    else if (own && right && strictness[own] < strictness[right]) counts.laxer++;
    else counts.stricter++;
  }
  const share = (count: number) => count / (end - start);
  const places = (unit: typeof mine) =>
    unit.fields.flatMap((reading) => ("span" in reading ? [{ ...reading.span, field: reading.field }] : []));
  const own = places(mine);
  const fields = places(theirs).map(({ field, ...span }) => ({
    field,
    match: own.find((one) => one.start === span.start && one.end === span.end)?.field,
  }));
  const named = fields.filter(({ field }) => field.means !== undefined);
  const keys = (unit: typeof mine) =>
    measureChecksums(unit).map(({ name, algorithm, covered, storedAt }) => ({
      name,
      key: JSON.stringify([algorithm, normalised(covered.filter((span) => span.end > span.start)), storedAt]),
    }));
  const [found, wanted] = [keys(mine), keys(theirs)];
  return {
    roles: { right: share(counts.right), stricter: share(counts.stricter), laxer: share(counts.laxer) },
    fields: {
      found: fields.filter(({ match }) => match).map(({ field }) => field.name),
      missed: fields.filter(({ match }) => !match).map(({ field }) => field.name),
      meaning: named.filter(({ field, match }) => match?.means === field.means).length / named.length,
    },
    checksums: {
      found: wanted.filter(({ key }) => found.some((one) => one.key === key)).map(({ name }) => name),
      missed: wanted.filter(({ key }) => !found.some((one) => one.key === key)).map(({ name }) => name),
      false: found.filter(({ key }) => !wanted.some((one) => one.key === key)).map(({ name }) => name),
    },
  };
}

export function shownScore({ roles, fields, checksums }: Score): string {
  const percent = (share: number) => `${(100 * share).toFixed(1)} %`;
  return [
    `roles: ${percent(roles.right)} of the bytes right, ${percent(roles.stricter)} stricter, ${percent(roles.laxer)} laxer`,
    `fields: ${fields.found.length} found, ${fields.missed.length} missed (${fields.missed.join(", ")}); meaning right in ${percent(fields.meaning)} of those that have one`,
    `checksums: ${checksums.found.length} found, ${checksums.missed.length} missed, ${checksums.false.length} false`,
  ].join("\n");
}
