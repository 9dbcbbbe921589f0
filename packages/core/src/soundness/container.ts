import { latin1 } from "../bytes/text.js";

/** What a file is instead of the bytes of a memory. */
export const containerKinds = [
  "base64",
  "hex-listing",
  "intel-hex",
  "s-record",
  "uuencode",
  "gzip",
  "zip",
  "xz",
  "bzip2",
  "zstd",
  "7z",
  "rar",
  "lz4",
  "tar",
  "elf",
  "pdf",
  "png",
  "jpeg",
  "html",
] as const;
export type ContainerKind = (typeof containerKinds)[number];

/** First bytes, as the formats' own specifications give them (from memory), by kind. */
const magics: readonly (readonly [ContainerKind, number, readonly number[]])[] = [
  ["gzip", 0, [0x1f, 0x8b, 0x08]],
  ["zip", 0, [0x50, 0x4b, 0x03, 0x04]],
  ["xz", 0, [0xfd, 0x37, 0x7a, 0x58, 0x5a, 0x00]],
  ["bzip2", 0, [0x42, 0x5a, 0x68]],
  ["zstd", 0, [0x28, 0xb5, 0x2f, 0xfd]],
  ["7z", 0, [0x37, 0x7a, 0xbc, 0xaf, 0x27, 0x1c]],
  ["rar", 0, [0x52, 0x61, 0x72, 0x21, 0x1a, 0x07]],
  ["lz4", 0, [0x04, 0x22, 0x4d, 0x18]],
  ["tar", 257, [0x75, 0x73, 0x74, 0x61, 0x72]],
  ["elf", 0, [0x7f, 0x45, 0x4c, 0x46]],
  ["pdf", 0, [0x25, 0x50, 0x44, 0x46, 0x2d]],
  ["png", 0, [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]],
  ["jpeg", 0, [0xff, 0xd8, 0xff, 0xe0]],
];

/** So much of the file decides whether it is a listing. */
const looked = 8192;

/** The kind of file that these bytes are instead of memory, or undefined. */
export function containerOf(bytes: Uint8Array): ContainerKind | undefined {
  for (const [kind, at, magic] of magics) if (magic.every((byte, i) => bytes[at + i] === byte)) return kind;
  const head = bytes.subarray(0, looked);
  if (head.some((byte) => byte > 0x7e || (byte < 0x20 && byte !== 9 && byte !== 10 && byte !== 13))) return undefined;
  const lines = latin1(head).split(/\r\n|\n|\r/);
  if (head.length < bytes.length) lines.pop();
  const full = lines.filter((line) => line.length > 0);
  const first = full[0] ?? "";
  if (/^\s*<(!doctype|html|\?xml)/i.test(first)) return "html";
  if (full.length === 0) {
    const run = latin1(head);
    return /^[A-Fa-f0-9]{64,}$/.test(run) ? "hex-listing" : /^[A-Za-z0-9+/=_-]{64,}$/.test(run) ? "base64" : undefined;
  }
  const all = (form: RegExp) => full.every((line) => form.test(line));
  const most = (form: RegExp) => full.filter((line) => form.test(line)).length >= 0.9 * full.length;
  if (most(/^:[0-9A-Fa-f]{10,}$/)) return "intel-hex";
  if (most(/^S[0-9][0-9A-Fa-f]{6,}$/)) return "s-record";
  if (/^begin [0-7]{3} /.test(first)) return "uuencode";
  if (most(/^\s*(0x)?[0-9A-Fa-f]*[:;|]?\s*((0x)?[0-9A-Fa-f]{2,8}[\s,]+){3,}/)) return "hex-listing";
  if (all(/^[0-9A-Fa-f]{16,}$/)) return "hex-listing";
  const body = full.filter((line) => !/^(-----|Content-|MIME-)/i.test(line));
  const width = body[0]?.length ?? 0;
  const even = body.slice(0, -1).every((line) => line.length === width);
  if (width >= 40 && even && body.every((line) => /^[A-Za-z0-9+/_-]+={0,2}$/.test(line))) return "base64";
  return undefined;
}
