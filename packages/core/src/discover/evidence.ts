import type { Family } from "./family.js";
import type { Hit } from "./hit.js";
import type { Site } from "./site.js";

/** How many words have to differ before a second image says all that it can. */
const copies = 2;

/** What is known of a range besides, that lowers what it proves. */
export interface Doubts {
  /** The most that the range can prove in any content. */
  readonly most?: number;
  /** How many words of a content differ from the first without anything else that is found asking for it. */
  changed?(content: number): number;
}

/**
 * The bits that agree without having to: those of the value, once for each content that has its own, but no more than
 * the range holds. A sum of a second image agrees by itself when one word changed and its copy is taken for the value:
 * so the words that differ count too.
 */
export function evidenceOf(
  site: Site,
  family: Family,
  { place, start, end }: Pick<Hit, "place" | "start" | "end">,
  raws: readonly number[],
  { most = Number.POSITIVE_INFINITY, changed: known }: Doubts = {},
): number {
  const each = Math.min(most, family.bitsOfValue(end - start));
  const own = (content: number) => Math.min(each, site.bitsIn(content, family.kind, start, end));
  let evidence = own(0);
  for (let content = 1; content < raws.length; content++) {
    const raw = raws[content] as number;
    if (place !== "whole" && raws.indexOf(raw) < content) continue;
    let changed = known?.(content) ?? site.changed(content, start, end);
    for (let other = 1; other < content; other++)
      changed = Math.min(changed, site.changedBetween(other, content, start, end));
    const telling = family.kind === "crc" ? 16 * changed : 8 * (changed - copies);
    evidence += Math.max(0, Math.min(own(content), telling));
  }
  return evidence;
}

/** No range of these ends proves more than this, whatever it holds. Quickly said. */
export function mostEvidence(site: Site, { width, kind }: Family, start: number, end: number): number {
  let most = width;
  for (let content = 1; content < site.ground.contents.length; content++) {
    const changed = site.changed(content, start, end);
    most += Math.max(0, Math.min(width, kind === "crc" ? 16 * changed : 8 * (changed - copies)));
  }
  return most;
}
