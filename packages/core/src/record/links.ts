import { recordEntryDigest } from "./chain.js";
import type { RecordDocument, RecordEntry } from "./schema.js";

/** An entry where it stands, and what it comes to. */
export interface Link {
  /** Its place in the file, from 0. */
  readonly index: number;
  readonly entry: RecordEntry;
  readonly computed: string;
  readonly changed: boolean;
  /** Its number; of a changed entry, which may state any, that of its place. */
  readonly number: number;
}

/** Where a record is not the chain that it was written as. */
export interface ChainFacts {
  readonly links: readonly Link[];
  readonly changed: readonly Link[];
  readonly inserted: readonly Link[];
  readonly moved: readonly Link[];
  /** Entries that follow another than the one that stands before them, with that one; undefined before the first. */
  readonly replaced: readonly { readonly before: Link | undefined; readonly after: Link }[];
  /** Numbers that no entry has, `last` included; `after` is where they would stand. */
  readonly missing: readonly { readonly first: number; readonly last: number; readonly after: Link | undefined }[];
  readonly end: Link;
  readonly endHolds: boolean;
}

/** Holds every entry against its own digest, its neighbours and the closing line. */
export function followChain({ entries, last }: RecordDocument): ChainFacts {
  const links = linksOf(entries);
  const inserted = insertedAmong(links, last);
  const kept = links.filter((link) => !inserted.has(link));
  const moved = movedAmong(kept);
  const inOrder = [...kept].sort((a, b) => a.number - b.number);
  const missing: ChainFacts["missing"][number][] = [];
  const replaced: ChainFacts["replaced"][number][] = [];
  let before: Link | undefined;
  for (const link of inOrder) {
    const expected = (before?.number ?? 0) + 1;
    if (link.number > expected) missing.push({ first: expected, last: link.number - 1, after: before });
    else if (!link.changed && !follows(link, before)) replaced.push({ before, after: link });
    before = link;
  }
  const end = before as Link; // a record has at least one entry, and one of a number always stays
  if (last.number > end.number) missing.push({ first: end.number + 1, last: last.number, after: end });
  return {
    links,
    changed: links.filter(({ changed }) => changed),
    inserted: [...inserted],
    moved,
    replaced,
    missing,
    end,
    endHolds: last.number > end.number || (last.number === end.number && isDigestOf(last.digest, end)),
  };
}

function linksOf(entries: readonly RecordEntry[]): Link[] {
  let number = 0;
  return entries.map((entry, index) => {
    const computed = recordEntryDigest(entry);
    const changed = computed !== entry.digest;
    number = changed ? number + 1 : entry.number;
    return { index, entry, computed, changed, number };
  });
}

/** Either of its digests: when only the stored one was changed, the entry after still carries the true one. */
function isDigestOf(digest: string | null, { entry, computed }: Link): boolean {
  return digest === entry.digest || digest === computed;
}

function follows({ entry }: Link, before: Link | undefined): boolean {
  return before === undefined ? entry.previous === null : isDigestOf(entry.previous, before);
}

/**
 * Entries that nothing else leans on: of several with one number all but the one that is best tied in, and those beyond
 * the end that are tied to nothing at all.
 */
function insertedAmong(links: readonly Link[], last: RecordDocument["last"]): Set<Link> {
  const digests = new Set(links.flatMap(({ entry, computed }) => [entry.digest, computed]));
  const followed = new Set(links.map(({ entry }) => entry.previous));
  const ties = ({ entry, computed, number }: Link) =>
    (followed.has(entry.digest) || followed.has(computed) ? 2 : 0) +
    (entry.digest === last.digest || computed === last.digest ? 2 : 0) +
    Number(entry.previous === null ? number === 1 : digests.has(entry.previous));
  const best = new Map<number, Link>();
  const inserted = new Set<Link>();
  for (const link of links) {
    const rival = best.get(link.number);
    if (rival === undefined) best.set(link.number, link);
    else if (ties(link) > ties(rival)) {
      inserted.add(rival);
      best.set(link.number, link);
    } else inserted.add(link);
  }
  for (const link of best.values()) {
    const stranger = !link.changed && link.number > last.number && ties(link) === 0;
    if (stranger && inserted.size < links.length - 1) inserted.add(link);
  }
  return inserted;
}

/** The fewest links that have to be put elsewhere so that all numbers rise: those outside the longest rising run. */
function movedAmong(links: readonly Link[]): Link[] {
  const ends: number[] = [];
  const before: number[] = [];
  links.forEach((link, at) => {
    let low = 0;
    let high = ends.length;
    while (low < high) {
      const middle = (low + high) >>> 1;
      if ((links[ends[middle] as number] as Link).number < link.number) low = middle + 1;
      else high = middle;
    }
    before[at] = low > 0 ? (ends[low - 1] as number) : -1;
    ends[low] = at;
  });
  const rising = new Set<number>();
  for (let at = ends.at(-1) ?? -1; at >= 0; at = before[at] as number) rising.add(at);
  return links.filter((_, at) => !rising.has(at));
}
