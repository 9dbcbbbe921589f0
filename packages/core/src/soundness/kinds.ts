import { lengthOf, type Span } from "../bytes/span.js";
import { isPrintable } from "../bytes/text.js";
import type { Image } from "../image/image.js";
import { familiar } from "./familiar.js";

/**
 * What a block of a read looks like: nothing was read, one value or nearly, text, code of a known family, neighbours near
 * each other in value, spread like random bytes, anything else.
 */
export const blockKinds = ["hole", "fill", "text", "code", "table", "dense", "data"] as const;
export type BlockKind = (typeof blockKinds)[number];

export interface Block {
  readonly span: Span;
  readonly kind: BlockKind;
}

/** So much of a block is looked at. */
const looked = 4096;
const codeShare = 0.06;
/** `count` blocks of equal length from the first to the last address of `image`, each with its kind. */
export function kindsOf(image: Image, count: number): Block[] {
  const { bounds } = image;
  if (!bounds || count < 1) return [];
  const length = lengthOf(bounds);
  const blocks = Math.min(Math.floor(count), length);
  return Array.from({ length: blocks }, (_, i) => {
    const start = bounds.start + Math.floor((i * length) / blocks);
    const span = { start, end: bounds.start + Math.floor(((i + 1) * length) / blocks) };
    const [part] = [...image.within(span)].sort((a, b) => b.bytes.length - a.bytes.length);
    return { span, kind: part ? kindOf(part.bytes, part.address) : "hole" };
  });
}

/** The same with neighbours of one kind as one. */
export function kindRunsOf(image: Image, count: number): Block[] {
  const runs: Block[] = [];
  for (const { span, kind } of kindsOf(image, count)) {
    const last = runs.at(-1);
    if (last?.kind === kind) runs[runs.length - 1] = { span: { start: last.span.start, end: span.end }, kind };
    else runs.push({ span, kind });
  }
  return runs;
}

function kindOf(whole: Uint8Array, address: number): BlockKind {
  // The middle: the ends may belong to what stands beside the block.
  const from = Math.max(0, Math.floor((whole.length - looked) / 2));
  const bytes = whole.subarray(from - ((address + from) % 2 && from > 0 ? 1 : 0), from + looked);
  const counts = new Uint32Array(256);
  let printable = 0;
  let near = 0;
  for (let i = 0; i < bytes.length; i++) {
    const byte = bytes[i] as number;
    counts[byte] = (counts[byte] as number) + 1;
    if (isPrintable(byte) || byte === 10 || byte === 13) printable++;
    // Tables of bytes or of words: the value before it, or two before it, is near.
    if (i >= 2 && byte !== bytes[i - 1] && Math.abs(byte - (bytes[i - 2] as number)) <= 6) near++;
  }
  const most = Math.max(...counts);
  if (most >= 0.95 * bytes.length) return "fill";
  if (printable >= 0.85 * bytes.length) return "text";
  let squares = 0;
  for (const each of counts) squares += each * each;
  const chi = (squares * 256) / bytes.length - bytes.length;
  if (bytes.length >= 1024 && chi < 255 + 6 * 22.6) return "dense";
  if (codeLike(bytes)) return "code";
  return near >= 0.4 * bytes.length ? "table" : "data";
}

/** Whether pairs that are common in the code of one family make up enough of those that tell anything. */
function codeLike(bytes: Uint8Array): boolean {
  const { families, atEven, atOdd } = familiar();
  const hits = new Uint32Array(families.length);
  let telling = 0;
  for (let i = 0; i + 1 < bytes.length; i += 2) {
    const [first, second] = [bytes[i] as number, bytes[i + 1] as number];
    if (first !== second && first !== 0 && second !== 0) telling++;
    const pair = first * 256 + second;
    let mask = (atEven[pair] as number) | (atOdd[pair] as number);
    for (let family = 0; mask !== 0; family++, mask >>>= 1) if (mask & 1) hits[family] = (hits[family] as number) + 1;
  }
  return telling >= 16 && Math.max(...hits) >= codeShare * telling;
}
