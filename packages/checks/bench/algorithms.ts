import { createRequire } from "node:module";
import zlib from "node:zlib";
import { algorithmOf } from "@assay/core";
import crc32 from "crc-32";
import { content, medians, type Suite, speedOf } from "./measure.js";

const require = createRequire(import.meta.url);
const peer = `crc-32 ${require("crc-32/package.json").version}`;

const names = [
  "CRC-8/SMBUS",
  "CRC-16/ARC",
  "CRC-16/IBM-3740",
  "CRC-24/OPENPGP",
  "CRC-32/ISO-HDLC",
  "CRC-32/MPEG-2",
  "CRC-64/XZ",
  "sum8",
  "sum16-be",
  "sum32-le",
  "adler32",
] as const;

/** Checksums over 8 MiB; the floor of a sum is a copy of the memory. */
export async function algorithmSuite(): Promise<Suite> {
  const bytes = content(8 << 20);
  const copy = new Uint8Array(bytes.length);
  const algorithms = names.map((name) => algorithmOf(name));
  const run = (i: number) => {
    const running = algorithms[i]?.start();
    running?.update(bytes);
    return running?.value();
  };
  const own = medians(5, ...names.map((_, i) => () => run(i)));
  const [theirs, native, memory] = medians(
    5,
    () => crc32.buf(bytes),
    () => zlib.crc32(bytes),
    () => copy.set(bytes),
  ) as [number, number, number];
  const rows = names.flatMap((name, i) => {
    const time = own[i] as number;
    const speed = speedOf(bytes.length, time);
    if (name.startsWith("CRC")) {
      const against = {
        what: name,
        peer,
        ratio: theirs / time,
        speed,
        ...(name.includes("64") ? {} : { goal: "0.6" }),
      };
      return name === "CRC-32/ISO-HDLC"
        ? [against, { what: name, peer: `zlib.crc32 of Node ${process.versions.node}`, ratio: native / time, speed }]
        : [against];
    }
    return [
      {
        what: name,
        peer: "copy of the memory",
        ratio: memory / time,
        speed,
        ...(name.startsWith("sum") ? { goal: "2000 MB/s" } : {}),
      },
    ];
  });
  return { title: "checksums (times as fast as the peer)", rows };
}
