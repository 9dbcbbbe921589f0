import { enoughDistinct } from "./data-lines.js";
import { contentBlock } from "./fill.js";

/** An address line at one level of which everything is blank, between content at its other level. */
export interface BlankLevel {
  /** Bit of the byte address. */
  readonly line: number;
  readonly level: 0 | 1;
  readonly value: 0 | 0xff;
  /** Share of the bytes at this level that are blank, and bytes at the other level that were looked at. */
  readonly share: number;
  readonly compared: number;
}

/** Blank blocks with content against both borders from which it is no layout of modules by chance. */
const enoughBetween = 4;
/** Of all blank blocks between content so many must have it against both borders. */
const againstShare = 0.75;
/** Of the bytes at the blank level so many are blank, and of those at the other one fewer than so many. */
export const blankShare = 0.98;
const otherShare = 0.6;
/** Fewer bytes on either side decide nothing; nor do few different values: tables of words hold small numbers. */
const enough = 192;
/** Bytes on either side of a border that must not all be blank for content to stand against it. */
const against = 8;
const firstOfBlocks = Math.log2(contentBlock);

/** The lines at one level of which the memory is blank; `sample` are offsets in content, spread evenly. */
export function blankLevelsOf(bytes: Uint8Array, blocks: Uint8Array, sample: Uint32Array): BlankLevel[] {
  const found: BlankLevel[] = [];
  for (let line = 0; 2 ** (line + 1) <= bytes.length; line++) {
    const one = line < firstOfBlocks ? insideBlocks(bytes, sample, line) : ofBlocks(bytes, blocks, line);
    if (one) found.push(one);
  }
  return found;
}

/** After so many offsets that show no blank level nearly all lines are done with. */
const firstLook = 256;

/** For lines below a block: both levels stand in each block. */
function insideBlocks(bytes: Uint8Array, sample: Uint32Array, line: number): BlankLevel | undefined {
  for (const value of [0xff, 0] as const) {
    const all = [0, 0];
    const blank = [0, 0];
    for (let i = 0; i < sample.length; i++) {
      if (i === firstLook && !isBlank(all, blank, 0) && !isBlank(all, blank, 1)) break;
      const offset = sample[i] as number;
      const level = (offset >>> line) & 1;
      all[level] = (all[level] as number) + 1;
      if (bytes[offset] === value) blank[level] = (blank[level] as number) + 1;
    }
    const level = isBlank(all, blank, 0) ? 0 : 1;
    const [own, other] = [all[level] as number, all[1 - level] as number];
    if (!isBlank(all, blank, level) || Math.min(own, other) < enough) continue;
    if ((blank[1 - level] as number) >= otherShare * other) continue;
    const values = new Set<number>();
    for (const offset of sample) if (bytes[offset] !== value) values.add(bytes[offset] as number);
    if (values.size < enoughDistinct) continue;
    return { line, level, value, share: (blank[level] as number) / own, compared: other };
  }
  return undefined;
}

function isBlank(all: readonly number[], blank: readonly number[], level: 0 | 1): boolean {
  return (blank[level] as number) >= blankShare * (all[level] as number);
}

/** For lines from a block on: no block with content may stand at the blank level. */
function ofBlocks(bytes: Uint8Array, blocks: Uint8Array, line: number): BlankLevel | undefined {
  const size = 2 ** line;
  const level = levelWithout(blocks, line);
  if (level === undefined) return undefined;
  let between = 0;
  let gaps = 0;
  let value: number | undefined;
  for (let at = (level === 1 ? 1 : 2) * size; at + size < bytes.length; at += 2 * size) {
    if (!hasContent(blocks, at - size, size) || !hasContent(blocks, at + size, size)) continue;
    gaps++;
    const own = bytes[at] as number;
    if ((own !== 0 && own !== 0xff) || (value !== undefined && own !== value)) return undefined;
    value = own;
    if (isOnly(bytes, at, at + size, own) && stands(bytes, at - against, own) && stands(bytes, at + size, own))
      between++;
  }
  if (value === undefined || between < enoughBetween || between < againstShare * gaps) return undefined;
  return { line, level, value: value as 0 | 0xff, share: 1, compared: (gaps + 1) * size };
}

/** The level of a line from A6 on at which no content stands at all; undefined when both have some, or neither. */
export function levelWithout(blocks: Uint8Array, line: number): 0 | 1 | undefined {
  const perPiece = 2 ** line / contentBlock;
  const held = [false, false];
  for (let block = 0; block < blocks.length; block++) {
    if (!blocks[block]) continue;
    held[Math.floor(block / perPiece) % 2] = true;
    if (held[0] && held[1]) return undefined;
  }
  return held[0] === held[1] ? undefined : held[0] ? 1 : 0;
}

function hasContent(blocks: Uint8Array, start: number, size: number): boolean {
  return blocks.subarray(start / contentBlock, (start + size) / contentBlock).includes(1);
}

function isOnly(bytes: Uint8Array, start: number, end: number, value: number): boolean {
  for (let i = start; i < end; i++) if (bytes[i] !== value) return false;
  return true;
}

/** Whether the few bytes from `start` on are not all `value`. */
function stands(bytes: Uint8Array, start: number, value: number): boolean {
  return start + against <= bytes.length && !isOnly(bytes, start, start + against, value);
}
