import { Image } from "../image/image.js";
import { bitsExchanged, type Correction, gather, pairMaps } from "./corrections.js";

/** Every rearrangement of whole reads that is known, the common ones first, for a read of `length` bytes. */
export function* correctionsOf(length: number): Generator<Correction> {
  for (const kind of ["swap-16", "swap-32", "swap-halves-32"] as const) yield { kind };
  for (const kind of ["interleave", "separate", "interleave-16", "separate-16"] as const) yield { kind };
  for (const { correction } of pairMaps()) yield correction;
  for (let first = 0; 2 ** (first + 2) <= length; first++) {
    for (let second = first + 1; 2 ** (second + 1) <= length; second++) {
      yield { kind: "exchange-address-lines", first, second };
    }
  }
}

/** `image` as it would be after `correction`; undefined for one that is no single piece, or whose size does not allow it. */
export function arrangedImage(image: Image, correction: Correction): Image | undefined {
  const [segment, ...others] = image.segments;
  if (!segment || others.length > 0 || segment.bytes.length % unitOf(correction) !== 0) return undefined;
  const { address, bytes } = segment;
  const arranged = new Uint8Array(bytes.length);
  const map = pairMaps().find((one) => one.correction === correction);
  if (!map) gather(bytes, correction, 0, arranged);
  else {
    const { table, swap, first, second } = map;
    for (let i = 0; i < bytes.length; i += 2) {
      const upper = bytes[i + (swap ? 1 : 0)] as number;
      const lower = bytes[i + (swap ? 0 : 1)] as number;
      const pair = table ? ((table[upper] as number) << 8) | (table[lower] as number) : (upper << 8) | lower;
      const put = first === second ? pair : bitsExchanged(pair, first, second);
      arranged[i] = put >> 8;
      arranged[i + 1] = put & 0xff;
    }
  }
  return Image.of([{ address, bytes: arranged }]);
}

/** What the length of a read must be a multiple of for `correction`, in bytes. */
function unitOf(correction: Correction): number {
  switch (correction.kind) {
    case "swap-32":
    case "swap-halves-32":
    case "interleave":
    case "interleave-16":
    case "separate":
    case "separate-16":
      return 4;
    case "exchange-address-lines":
      return 2 ** (correction.second + 1);
    default:
      return 2;
  }
}
