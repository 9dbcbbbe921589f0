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
  const equal = (first: Uint8Array, second: Uint8Array) => Buffer.compare(first, second) === 0;
  const [same, handedIn, unlike, floor] = medians(
    7,
    () => differenceOf(one, alike),
    () => differenceOf(one, alike, { equal }),
    () => differenceOf(one, other),
    () => Buffer.compare(buffers, twin),
  ) as [number, number, number, number];
  const peer = "Buffer.compare of equal ones";
  return {
    title: "differences (times as fast as the peer)",
    rows: [
      { what: "two alike images", peer, ratio: floor / same, speed: speedOf(bytes.length, same) },
      {
        what: "the same with the platform's comparison",
        peer,
        ratio: floor / handedIn,
        speed: speedOf(bytes.length, handedIn),
        goal: "0.2",
      },
      { what: "two unrelated images", peer, ratio: floor / unlike, speed: speedOf(bytes.length, unlike) },
    ],
  };
}
