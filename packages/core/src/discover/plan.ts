import type { CrcModel } from "../algorithms/crc.js";
import type { Image } from "../image/image.js";
import { crcFamily } from "./crc-family.js";
import { familiesToSeek } from "./families.js";
import type { Family } from "./family.js";
import { groundsOf } from "./ground.js";
import type { Hit } from "./hit.js";
import { searchBlocks } from "./search-blocks.js";
import { searchDescribed } from "./search-described.js";
import { searchInside } from "./search-inside.js";
import { searchWords, worthEveryWord } from "./search-words.js";
import { Site } from "./site.js";
import type { RecoveredCrc } from "./unknown-registers.js";

/** The searches there are, in the order in which they are made. */
const searches = {
  described: searchDescribed,
  blocks: searchBlocks,
  words: searchWords,
  inside: searchInside,
} as const;
export type SearchName = keyof typeof searches;

/** One search of one family in one ground: the unit in which a search goes on, stops, or is handed to a thread. */
export interface SeekTask {
  readonly ground: number;
  readonly family: number;
  readonly search: SearchName;
  /** About how much work it is, compared with other tasks. */
  readonly work: number;
}

/** Offsets of ends of ranges that are established, for each ground by index. */
export type KnownEnds = Readonly<Record<number, readonly number[]>>;

/** What is to be tried. The same images give the same plan wherever it is made. */
export interface SeekPlan {
  readonly options: PlanOptions;
  readonly images: readonly Image[];
  readonly sites: readonly Site[];
  readonly families: readonly Family[];
  readonly tasks: readonly SeekTask[];
}

export interface PlanOptions {
  /** CRCs that are in no catalogue and are looked for as well. */
  readonly models?: readonly Omit<CrcModel, "name">[];
  /** The same for those that were recovered from differences between the images, which have to prove more. */
  readonly recovered?: readonly RecoveredCrc[];
  /** Ends of ranges that are established already: others may begin and end there. */
  readonly known?: KnownEnds;
  /** Only these families, by index. */
  readonly families?: readonly number[];
  /** Only these searches. */
  readonly searches?: readonly SearchName[];
}

/** What is to be tried in `images`, likeliest first. */
export function planSeek(images: readonly Image[], options: PlanOptions = {}): SeekPlan {
  const { models = [], recovered = [], known = {}, families: only, searches: wanted } = options;
  const grounds = groundsOf(images);
  const total = grounds.reduce((sum, { length }) => sum + length, 0);
  const sites = grounds.map((ground, i) => new Site(i, ground, known[i], Math.log2(total / ground.length)));
  const families = [
    ...familiesToSeek(),
    ...models.map((model) => ownFamily(model, bitsOfOwn)),
    ...recovered.map(({ model, bits }) => ownFamily(model, bitsOfOwn + bits)),
  ];
  const tasks = sites.flatMap((site) =>
    families.flatMap((family, index) => {
      if (only && !only.includes(index)) return [];
      const words = worthEveryWord(site, family);
      const size = (site.ground.length / 65536) * site.ground.contents.length;
      return (Object.keys(searches) as SearchName[])
        .filter((search) => !wanted || wanted.includes(search))
        .filter((search) => search !== "words" || words)
        .map((search) => ({ ground: site.index, family: index, search, work: workOf(search, family, size) }));
    }),
  );
  const rank = (task: SeekTask) => Object.keys(searches).indexOf(task.search);
  return { options, images, sites, families, tasks: tasks.sort((a, b) => rank(a) - rank(b) || a.family - b.family) };
}

/** The hits of one task of `plan`. */
export function runSeekTask(plan: SeekPlan, task: SeekTask): Hit[] {
  const site = plan.sites[task.ground];
  const family = plan.families[task.family];
  if (!site || !family) throw new RangeError("seek: expected a task of this plan, got another one");
  return searches[task.search](site, family, task.family);
}

const bitsOfOwn = 4;

function ownFamily(model: Omit<CrcModel, "name">, bits: number): Family {
  const { width, poly, refin } = model;
  const kind = { width: width as 8 | 16 | 24 | 32, poly: Number(BigInt.asIntN(32, poly)), reflected: refin };
  return crcFamily(
    `CRC-${width} of 0x${poly.toString(16)}${refin ? ", reflected" : ""}`,
    kind,
    [{ model, bits: 1 }],
    bits,
  );
}

/** Measured: seconds for 64 KiB, about. */
function workOf(search: SearchName, family: Family, size: number): number {
  const ways = family.variants.length * (family.width > 8 ? 2 : 1);
  switch (search) {
    case "described":
      return 1 + size / 4;
    case "words":
      return (1 + ways) * size;
    case "inside":
      return family.width >= 32 ? 4 * ways : ways;
    case "blocks":
      return (family.width >= 32 ? 4 : 1) * (1 + ways) * Math.min(size, 16);
  }
}
