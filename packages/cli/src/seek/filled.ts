import { type Image, Refusal, type Span } from "@assay/core";

/** Memory that a few bytes at far addresses would fill is not made. */
const mostFilled = 64 * 2 ** 20;

/**
 * `image` with `fill` in the holes between its first and its last address, or of `bounds`.
 * @throws Refusal when that is more memory than anybody means
 */
export function filled(
  image: Image,
  fill: number | undefined,
  file: string,
  bounds: Span | undefined = image.bounds,
): Image {
  if (fill === undefined || !bounds) return image;
  if (bounds.end - bounds.start > mostFilled) {
    throw new Refusal(
      "seek/too-wide",
      `--fill: expected at most ${mostFilled} bytes of memory, got ${bounds.end - bounds.start}`,
      { file },
    );
  }
  return image.filled([bounds], fill);
}
