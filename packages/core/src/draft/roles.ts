import { lengthOf, type Span, totalLength } from "../bytes/span.js";
import { latin1 } from "../bytes/text.js";
import { counted } from "../findings/amounts.js";
import type { Role } from "../profile/schema/region.js";
import { type BlockKind, kindsOf } from "../soundness/kinds.js";
import { findTables } from "../tables/find.js";
import { type Family, imageOf } from "./family.js";
import type { Piece } from "./pieces.js";
import { countIn } from "./runs.js";
import type { Variation, Way } from "./variation.js";

/** A part of the memory with the role that the reads speak for. */
export interface RoledPiece extends Piece {
  readonly role: Role;
  /** What speaks for the role. */
  readonly because: string;
  /** Why a person has to confirm it; undefined where the reads decide. */
  readonly unconfirmed: string | undefined;
  readonly looks: Looks;
}

/** What the content of a part looks like, and how it varies: counts of bytes. */
export interface Looks {
  readonly content: number;
  readonly kinds: Readonly<Record<BlockKind, number>>;
  readonly ways: Readonly<Record<Way, number>>;
}

const kindStep = 1024;
/** Less content than this looks like anything. */
const fewestTelling = 512;
/** Content is of a kind when so much of it is. */
const mostly = 0.5;
/** So much of a part changes by itself when it is a store of what the unit learns or notes. */
const restless = 0.1;
/** So much of a part is each unit's own when it is a store of the unit's own. */
const own = 0.3;
const largestKey = 8192;

export function looksOf(family: Family, variation: Variation, content: Span): Looks {
  const kinds: Record<BlockKind, number> = { hole: 0, fill: 0, text: 0, code: 0, table: 0, dense: 0, data: 0 };
  for (const unit of family.units.keys()) {
    const image = imageOf(family, unit).slice(content);
    for (const { span, kind } of kindsOf(image, Math.max(1, Math.round(lengthOf(content) / kindStep)))) {
      kinds[kind] += lengthOf(span) / family.units.length;
    }
  }
  const ways: Record<Way, number> = { constant: 0, volatile: 0, side: 0, release: 0, machine: 0, unit: 0 };
  for (let address = content.start; address < content.end; address++) {
    if (!variation.isErased(address)) ways[variation.at(address)]++;
  }
  return { content: countIn(content, (address) => !variation.isErased(address)), kinds, ways };
}

/** Whether most of a part that is not fill is of `kind`. */
export function isLike({ content, kinds }: Looks, kind: BlockKind): boolean {
  const total = Object.values(kinds).reduce((sum, bytes) => sum + bytes, 0) - kinds.fill - kinds.hole;
  return content >= fewestTelling && total > 0 && kinds[kind] >= mostly * total;
}

/** What stands in a part that is told by its fields. */
export interface Told {
  /** Whether a number of the unit, the machine or the board stands in it. */
  readonly numbers: boolean;
}

/** The role of `piece`: where the reads do not decide it, the strictest, with the reason to confirm it. */
export function roleOf(
  family: Family,
  variation: Variation,
  piece: Piece & { readonly content: Span },
  told: Told,
): RoledPiece {
  const looks = looksOf(family, variation, piece.content);
  const { ways } = looks;
  const like = (kind: BlockKind) => isLike(looks, kind);
  const role = (name: Role, because: string, unconfirmed?: string): RoledPiece => ({
    ...piece,
    role: name,
    because,
    unconfirmed,
    looks,
  });
  const decided =
    piece.block?.certainty === "certain" && ways.release > 0
      ? undefined
      : "what it looks like is all that speaks for it: no checksum of its own that holds in several releases";
  if (like("code")) {
    const because = "looks like code";
    return saysBoot(family, piece.content)
      ? role(
          "boot",
          `${because}, calls itself boot`,
          "boot is what it calls itself; nothing else tells it from the program",
        )
      : role("program", because, decided);
  }
  if (ways.volatile >= Math.max(4, restless * looks.content)) {
    return role(
      "adaptation",
      "changes between reads of one unit",
      "what it learns and what faults it notes look alike; how far it reaches is a guess from the erased memory around it",
    );
  }
  if (!isOwn(looks)) {
    const { count, share } = tablesIn(family, piece.content);
    const found = count > 0 ? ", some with axes" : "";
    if (like("table") || (looks.content >= fewestTelling && share >= tabular)) {
      return role("calibration", `looks like tables${found}`, decided);
    }
  }
  if (told.numbers) {
    return role("identity", "holds numbers of the unit", "which numbers these are has to be looked up on a label");
  }
  if (isKey(family, piece.content, looks)) {
    return role(
      "immobiliser",
      "spread like random bytes, each unit's own",
      "a key or digest by its looks only; taken for what is never shown",
    );
  }
  if (lengthOf(piece.content) >= largestKey) {
    return role("program", "content of no known look", "nothing tells what it is: taken for the strictest");
  }
  return role(
    "coding",
    "small, no code",
    "what it is for is not told by the reads: taken for coding, where every difference counts",
  );
}

/** So much of a part lies in tables with axes when it is made of such. */
const tabular = 0.25;
const mostSearched = 65536;

/** Likely tables in the first bytes of `content`, and the share of what was searched that lies in them. */
function tablesIn(family: Family, content: Span): { readonly count: number; readonly share: number } {
  const searched = { start: content.start, end: Math.min(content.end, content.start + mostSearched) };
  const tables = findTables(imageOf(family, 0), [searched]).filter(({ certainty }) => certainty === "likely");
  return { count: tables.length, share: totalLength(tables.map(({ span }) => span)) / lengthOf(searched) };
}

/** The counts of bytes by how they vary, in words. */
export function shares({ content, ways }: Looks): string {
  const parts = [
    [ways.release, "with the software"],
    [ways.machine, "with the machine"],
    [ways.side, "with the side"],
    [ways.unit, "with the unit"],
    [ways.volatile, "by themselves"],
  ] as const;
  const told = parts.filter(([bytes]) => bytes > 0).map(([bytes, how]) => `${bytes} change ${how}`);
  return `${counted(content, "byte")} of content${told.length === 0 ? ", the same in all reads" : `: ${told.join(", ")}`}`;
}

/** Whether a part of each unit's own is what units hold by themselves: no text, no pattern. */
export function isOwn({ content, ways }: Looks): boolean {
  return ways.unit + ways.volatile >= own * content;
}

/** Whether the content is spread like random bytes and hardly a byte is the same in two units. */
function isKey(family: Family, content: Span, { ways }: Looks): boolean {
  const bytes = lengthOf(content);
  if (bytes < 16 || bytes > largestKey || ways.unit < 0.9 * bytes) return false;
  return family.units.every((_, unit) => isSpread(imageOf(family, unit).read(content) ?? new Uint8Array(0)));
}

/** By the number of different values: random bytes of this length have about as many. */
function isSpread(bytes: Uint8Array): boolean {
  const expected = 256 * (1 - (255 / 256) ** bytes.length);
  return new Set(bytes).size >= 0.85 * expected;
}

const lookedAtEnds = 1024;

function saysBoot(family: Family, content: Span): boolean {
  return family.units.every((_, unit) => {
    const bytes = imageOf(family, unit).read(content) ?? new Uint8Array(0);
    const ends = [bytes.subarray(0, lookedAtEnds), bytes.subarray(Math.max(0, bytes.length - lookedAtEnds))];
    return ends.some((part) => /\bboot\b/i.test(latin1(part)));
  });
}
