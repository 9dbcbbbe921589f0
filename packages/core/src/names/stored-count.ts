import { readBigUint } from "../bytes/word.js";
import type { Image } from "../image/image.js";
import type { MeasurementDescription } from "./description.js";
import type { StoredCount } from "./laid-out.js";

/** Whether the memory holds that number: in either byte order, where the description does not say which. */
export function isStored({ span, number }: StoredCount, image: Image, order: MeasurementDescription["order"]): boolean {
  const bytes = image.read(span);
  const orders = order ? [order] : (["little", "big"] as const);
  return bytes !== undefined && orders.some((one) => readBigUint(bytes, one) === BigInt(number));
}
