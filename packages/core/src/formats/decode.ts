import { finding } from "../findings/catalogue.js";
import { Refusal } from "../findings/refusal.js";
import { packedAs, unpack } from "./container.js";
import type { Decoded, FormatName } from "./decoded.js";
import { detectFormat } from "./detect.js";
import { decodeDfu } from "./dfu.js";
import { decodeElf } from "./elf.js";
import { decodeIntelHex } from "./intel-hex.js";
import { type LayoutName, offsetBefore, rearrangedImage } from "./layout.js";
import { decodeRaw } from "./raw.js";
import { decodeSRecord } from "./s-record.js";
import { decodeTektronixHex } from "./tektronix-hex.js";
import { decodeTiTxt } from "./ti-txt.js";
import { decodeUf2 } from "./uf2.js";

/** What is known of a file beside its bytes. */
export interface DecodeOptions {
  /** `auto`, and when left out: by the content. */
  readonly format?: FormatName | "auto" | undefined;
  /** The address of the first byte of a raw file; a text format states its own. */
  readonly base?: number | undefined;
  /** How the bytes of the read lie; as in the memory when left out. */
  readonly layout?: LayoutName | undefined;
  /** Whether a gzip file or a zip archive is opened; it is when left out. */
  readonly unpack?: "always" | "never" | undefined;
  /** The most bytes that may come out of a packed file: 256 MiB when left out. */
  readonly limit?: number | undefined;
  /** How many times its own size a packed file may hold: `UnpackLimits` says more. */
  readonly ratio?: number | undefined;
}

/** The most bytes that come out of a packed file when nobody says otherwise. */
export const UNPACKED_LIMIT = 256 * 1024 * 1024;

/**
 * The image that a file describes, and what was seen on the way. A gzip file, or a zip archive of one file, is opened.
 * @throws Refusal for a packed file that cannot be opened, and for a base or a layout that does not go with the file
 */
export function decode(file: Uint8Array, options: DecodeOptions = {}): Decoded {
  const packed = options.unpack === "never" ? undefined : packedAs(file);
  if (!packed) return decodePlain(file, options);
  const { limit = UNPACKED_LIMIT, ratio } = options;
  const { bytes, stated, computed } = unpack(file, packed, { bytes: limit, ratio });
  const inner = packedAs(bytes);
  if (inner) {
    throw new Refusal("file/archive-nested", `${packed} file: expected an image in it, got a ${inner} file`);
  }
  const decoded = decodePlain(bytes, options);
  const damage = stated === computed ? [] : [finding("file/archive-checksum-wrong", { packed, stated, computed })];
  return { ...decoded, packed, findings: [...damage, ...decoded.findings] };
}

/** The formats that say where their bytes go, each with its decoder. */
const decoders = {
  "intel-hex": decodeIntelHex,
  "s-record": decodeSRecord,
  "ti-txt": decodeTiTxt,
  "tektronix-hex": decodeTektronixHex,
  elf: decodeElf,
  uf2: decodeUf2,
} as const satisfies Record<Exclude<FormatName, "raw" | "dfu">, (bytes: Uint8Array) => Decoded>;

function decodePlain(bytes: Uint8Array, { format = "auto", base, layout = "as-is" }: DecodeOptions): Decoded {
  const chosen = format === "auto" ? detectFormat(bytes).format : format;
  if (chosen === "raw") return decodeRaw(bytes, { base, layout });
  if (chosen === "dfu") return decodeDfu(bytes, { base, layout });
  if (base !== undefined) {
    throw new Refusal("file/base-not-raw", `base address: expected a raw file with it, got ${chosen}`);
  }
  const decoded = decoders[chosen](bytes);
  return layout === "as-is" ? decoded : laidOut(decoded, layout);
}

/** A file with addresses whose data were read from the part in another order than the memory's. */
function laidOut(decoded: Decoded, layout: LayoutName): Decoded {
  return {
    ...decoded,
    image: rearrangedImage(decoded.image, layout),
    originOf: (address) => decoded.originOf(offsetBefore(address, layout)),
  };
}
