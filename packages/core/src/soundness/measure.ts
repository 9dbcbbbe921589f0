import { common, normalised, type Span, totalLength } from "../bytes/span.js";
import type { Image } from "../image/image.js";
import { type AddressLines, measureAddressLines } from "./address-lines.js";
import { type Body, bodyOf, sampleOf } from "./body.js";
import { censusOf } from "./census.js";
import { type Chaos, measureChaos } from "./chaos.js";
import { type ContainerKind, containerOf } from "./container.js";
import type { Correction } from "./corrections.js";
import { type DataLines, measureDataLines } from "./data-lines.js";
import { type Extent, extentOfRead } from "./extent.js";
import { contentBlock, contentSample, fillOf } from "./fill.js";
import { type BlockHole, blockHolesOf, type MemoryPart } from "./holes.js";
import { measureOrder, type Order } from "./order.js";
import { measurePieces, type Pieces } from "./pieces.js";
import { type RepeatedBlock, repeatedBlocksOf } from "./repeats.js";
import { measureTransfer, type Transfer } from "./transfer.js";

/** What is known about a read beside its bytes. Everything may be left out. */
export interface SoundnessContext {
  /** Sizes in bytes that the profile allows. */
  readonly partSizes?: readonly number[];
  /** The value that erased memory reads as; undefined when nobody knows. */
  readonly erased?: number | undefined;
  /** What a checksum that holds covers, and one that fails. */
  readonly held?: readonly HeldSpan[];
  readonly failed?: readonly Span[];
  /** Another read in which no fault of the whole was found: if this one is alike, it has none either. */
  readonly sound?: Image | undefined;
  /** The parts that the memory is described by; erased memory at the end of one is meant. */
  readonly parts?: readonly MemoryPart[];
  /** Whether the file leaves nothing out (a raw file), so that its size is the size of the read. */
  readonly exact?: boolean;
  /** The order in which checksums hold that fail as the read stands. */
  readonly proved?: ProvedOrder | undefined;
}

/** A rearrangement of the whole read, and how many checksums prove it. */
export interface ProvedOrder {
  readonly correction: Correction;
  readonly checksums: number;
}

/** A span that a checksum covers which holds. */
export interface HeldSpan extends Span {
  /** Whether that checksum also depends on the order of the bytes, as a CRC does and a sum does not. */
  readonly ordered?: boolean;
}

/** What was measured of one read. Statistics only: what they mean is said by the rules. */
export interface SoundnessMeasures {
  /** Known bytes, and those of the body that statistics were taken over. */
  readonly known: number;
  readonly body: Span | undefined;
  /** Bytes in blocks that are not fill. */
  readonly content: number;
  /** The one value of every byte, when there is only one. */
  readonly constant: number | undefined;
  readonly exact: boolean;
  readonly erased: number | undefined;
  readonly extent: Extent;
  readonly container: ContainerKind | undefined;
  readonly held: readonly HeldSpan[];
  readonly failed: readonly Span[];
  readonly proved: ProvedOrder | undefined;
  /** What answers for the whole of it, so that statistics were taken of places only. */
  readonly answered: "checksum" | "sound-read" | undefined;
  /** Absent when the body is too small for statistics. */
  readonly statistics: Statistics | undefined;
}

export interface Statistics {
  readonly dataLines: DataLines;
  readonly addressLines: AddressLines;
  readonly order: Order;
  readonly pieces: Pieces;
  readonly holes: readonly BlockHole[];
  readonly repeats: readonly RepeatedBlock[];
  readonly transfer: Transfer;
  readonly chaos: Chaos;
}

/** Bytes below which no statistic is taken: chance would speak. */
export const smallestMeasured = 2048;

/** What a look at `image` alone can tell about whether it was read soundly. */
export function measureSoundness(image: Image, context: SoundnessContext = {}): SoundnessMeasures {
  const body = bodyOf(image, context.erased ?? 0xff);
  const bytes = body?.bytes ?? new Uint8Array(0);
  const fill = fillOf(bytes);
  const { runs, blocks, content } = fill;
  const [only] = runs;
  const base = {
    known: image.length,
    body: body && { start: body.address, end: body.address + bytes.length },
    content: Math.min(bytes.length, content * contentBlock),
    constant: only && only.start === 0 && only.end === bytes.length ? only.value : undefined,
    exact: context.exact ?? false,
    erased: context.erased,
    extent: extentOfRead(bytes.length, runs, context.partSizes ?? []),
    // A text format was decoded: what its memory begins with is not what the file is.
    container: context.exact ? containerOf(bytes) : undefined,
    held: context.held ?? [],
    failed: normalised(context.failed ?? []),
    proved: context.proved,
  };
  if (!body || bytes.length < smallestMeasured || base.constant !== undefined) {
    return { ...base, answered: undefined, statistics: undefined };
  }
  const places = {
    holes: blockHolesOf(bytes, fill, body.address, context.parts, context.erased),
    repeats: repeatedBlocksOf(bytes),
  };
  const answered = answerFor(body, blocks, context);
  if (answered) return { ...base, answered, statistics: { ...nothingSeen, ...places } };
  const sample = sampleOf(bytes);
  const census = censusOf(sample);
  return {
    ...base,
    answered,
    statistics: {
      ...places,
      dataLines: measureDataLines(census),
      addressLines: measureAddressLines(bytes, blocks, census),
      order: measureOrder(bytes, blocks, census),
      pieces: measurePieces(bytes, blocks),
      transfer: measureTransfer(bytes, sample, census),
      chaos: measureChaos(bytes, blocks, census),
    },
  };
}

/** A checksum that sees the order of bytes answers for the whole when it covers so much of it in one piece. */
export const heldShare = 0.9;
/** So many places of two reads are compared, and so many of them must be equal for one to answer for the other. */
const comparedPlaces = 2048;
const alikeShare = 0.98;

/** What makes statistics of the whole needless, if anything does. */
function answerFor({ bytes, address }: Body, blocks: Uint8Array, { held = [], sound }: SoundnessContext) {
  if (held.some(({ ordered, start, end }) => ordered === true && end - start >= heldShare * bytes.length)) {
    return "checksum";
  }
  if (!sound || sound.bounds?.start !== address || sound.bounds.end !== address + bytes.length) return undefined;
  const sample = contentSample(blocks, bytes.length, comparedPlaces);
  const equal = sample.reduce((sum, offset) => sum + (sound.byteAt(address + offset) === bytes[offset] ? 1 : 0), 0);
  return equal >= alikeShare * sample.length ? "sound-read" : undefined;
}

const nothingRead = { code: 0, family: "", text: 0, across: 0 };
/** Statistics of the whole that say nothing, where something better answers. */
const nothingSeen: Omit<Statistics, "holes" | "repeats"> = {
  dataLines: { stuck: [], shorted: [] },
  addressLines: { dead: [], shorted: [], wrap: undefined, blank: [] },
  order: { pairs: 0, asIs: nothingRead, best: undefined, kinds: 0, complements: 0 },
  pieces: { borders: [], broken: undefined, rearrangement: undefined },
  transfer: {
    length: 0,
    lineFeeds: 0,
    afterReturn: 0,
    returns: 0,
    pairsByChance: 0,
    high: 1,
    distinctLow: 0,
    printable: 0,
    controls: 0,
    wellFormed: 0,
    replacements: 0,
    missing: [],
    bom: undefined,
  },
  chaos: { entropy: 0, flatShare: 0, pieces: 0, deviation: 0 },
};

/** How many bytes of `span` a checksum that holds covers. */
export function heldBytes({ held }: Pick<SoundnessMeasures, "held">, span: Span): number {
  return totalLength(common(normalised(held), [span]));
}
