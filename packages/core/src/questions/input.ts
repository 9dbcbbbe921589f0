import type { Accelerators } from "../algorithms/algorithm.js";
import { digestOf } from "../algorithms/digest.js";
import { toHex } from "../bytes/hex.js";
import { type DecodeOptions, decode } from "../formats/decode.js";
import { type Decoded, isBare } from "../formats/decoded.js";
import type { ReportInput } from "../report/schema.js";
import { reportSpan } from "../report/span.js";

/** A file that was given, decoded, and the part that it plays. */
export interface InputFile {
  /** read, left, right, source, donor, twin, intended, readback ... */
  readonly role: string;
  /** What the caller calls it; shown in the report. */
  readonly name: string;
  /** Size of the file in bytes. */
  readonly bytes: number;
  /** SHA-256 of the file as it lies on the disk, or of its part files one behind the other; lower-case hex. */
  readonly sha256: string;
  readonly decoded: Decoded;
  /** The part files that it was put together from, in their order. */
  readonly parts?: readonly PartFile[];
}

/**
 * The file called `name` that holds `bytes` and plays `role`, decoded. A base is that of a raw file: a text format says
 * itself where its bytes go, and then it does not count.
 * @throws Refusal for what `decode` refuses
 */
export function inputOf(
  role: string,
  name: string,
  bytes: Uint8Array,
  { base, ...options }: DecodeOptions = {},
  { digest }: Pick<Accelerators, "digest"> = {},
): InputFile {
  const looked = decode(bytes, options);
  const decoded = base !== undefined && isBare(looked.format) ? decode(bytes, { ...options, base }) : looked;
  let sha256: string | undefined;
  return {
    role,
    name,
    bytes: bytes.length,
    /** Computed when it is first asked for: a large file that is only converted need not be read once more. */
    get sha256() {
      sha256 ??= toHex(digestOf("SHA-256", [bytes], digest));
      return sha256;
    },
    decoded,
  };
}

/** One of the files that a memory was read into. */
export interface PartFile extends Pick<InputFile, "name" | "bytes" | "sha256"> {}

/** The most spans that a report lists for one file; a file with more is told by its first ones. */
const spansListed = 1000;

/** A file as the report names it. */
export function reportInput({ role, name, bytes, sha256, decoded, parts }: InputFile): ReportInput {
  return {
    role,
    name,
    format: decoded.format,
    bytes,
    sha256,
    spans: decoded.image.spans.slice(0, spansListed).map(reportSpan),
    ...(decoded.packed && { packed: decoded.packed }),
    ...(parts && { parts: parts.map((part) => ({ name: part.name, bytes: part.bytes, sha256: part.sha256 })) }),
  };
}
