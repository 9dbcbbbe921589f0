import type { Image } from "../image/image.js";
import { placeOf } from "../report/differences.js";
import type { ReportDifference } from "../report/schema.js";
import { tablesAround } from "../tables/around.js";
import type { DataTable } from "../tables/find.js";

/** What looks like a table where `differences` of the two images are. */
export function tablesAt(
  differences: readonly ReportDifference[],
  images: readonly [Image, Image],
): readonly DataTable[] {
  return tablesAround(images, differences.map(placeOf));
}
