import type { ImageBuilder } from "../image/builder.js";
import { readByScript } from "./plain-script.js";
import { recordKernel } from "./record-kernel.js";
import type { RecordShape } from "./record-shape.js";
import type { Cursor } from "./text.js";

/**
 * Reads data records that need no second look, and leaves `cursor` before anything else: another type, a wrap, damage,
 * text. `base` is added to every address. How many records there were comes back.
 */
export function readPlainRecords(
  bytes: Uint8Array,
  cursor: Cursor,
  shape: RecordShape,
  base: number,
  builder: ImageBuilder,
): number {
  const read = recordKernel(bytes.length)?.read(bytes, cursor, shape, base, builder) ?? 0;
  return read + readByScript(bytes, cursor, shape, base, builder);
}
