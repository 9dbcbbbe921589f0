import { differenceOf, Image } from "@assay/core";
import { content, medians, type Suite, speedOf } from "./measure.js";

/** Differences of two images of 8 MiB. */
export async function imageSuite(): Promise<Suite> {
  const bytes = content(8 << 20);
  const image = (change: (copy: Uint8Array) => void) => {
    const copy = bytes.slice();
    change(copy);
    return Image.of([{ address: 0, bytes: copy }]);
  };
  const one = image(() => {});
  const alike = image((copy) => copy.fill(1, 5_000_000, 5_000_004));
  const other = image((copy) => copy.reverse());
  const [buffers, twin] = [Buffer.from(bytes), Buffer.from(bytes)];
  const [same, unlike, floor] = medians(
    7,
    () => differenceOf(one, alike),
    () => differenceOf(one, other),
    () => Buffer.compare(buffers, twin),
  ) as [number, number, number];
  const peer = "Buffer.compare of equal ones";
  return {
    title: "differences (times as fast as the peer)",
    rows: [
      { what: "two alike images", peer, ratio: floor / same, speed: speedOf(bytes.length, same), goal: "0.2" },
      { what: "two unrelated images", peer, ratio: floor / unlike, speed: speedOf(bytes.length, unlike) },
    ],
  };
}
