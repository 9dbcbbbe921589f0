import { createHash } from "node:crypto";
import { createRequire } from "node:module";
import zlib from "node:zlib";
import { type Accelerators, algorithmOf } from "@assay/core";
import crc32 from "crc-32";
import { content, processorMedians, type Row, type Suite, speedOf } from "./measure.js";

const require = createRequire(import.meta.url);
const node = `Node ${process.versions.node}`;
const peers = {
  npm: `crc-32 ${require("crc-32/package.json").version}`,
  zlib: `zlib.crc32 of ${node}`,
  hash: `SHA-256 of ${node}`,
  copy: "a copy of the memory",
};

/** One of each way through the engine: every class of width, both directions, and the two mixed. */
const crcs = [
  "CRC-5/USB",
  "CRC-8/SMBUS",
  "CRC-12/UMTS",
  "CRC-16/ARC",
  "CRC-16/IBM-3740",
  "CRC-24/OPENPGP",
  "CRC-32/ISO-HDLC",
  "CRC-32/MPEG-2",
  "CRC-40/GSM",
  "CRC-64/XZ",
  "CRC-82/DARC",
];
const sums = ["sum8", "sum16-be", "sum32-le", "internet", "xor32-le"];
const others = ["fletcher16", "fletcher32", "fletcher64", "adler32", "bsd-sum"];

/** Checksums over 8 MiB, all in turn. What zlib computes of CRC-32 is a ceiling, a copy of the memory that of a sum. */
export async function algorithmSuite(): Promise<Suite> {
  const bytes = content(8 << 20);
  const copy = new Uint8Array(bytes.length);
  const work: Record<string, () => unknown> = {
    [peers.npm]: () => crc32.buf(bytes),
    [peers.zlib]: () => zlib.crc32(bytes),
    [peers.hash]: () => createHash("sha256").update(bytes).digest(),
    [peers.copy]: () => copy.set(bytes),
  };
  const add = (what: string, name: string, accelerators?: Accelerators) => {
    const algorithm = algorithmOf(name, accelerators);
    work[what] = () => {
      const running = algorithm.start();
      running.update(bytes);
      return running.value();
    };
    return what;
  };
  for (const name of [...crcs, ...sums, ...others, "SHA-256"]) add(name, name);
  const handedIn = add("CRC-32 as handed in by the platform", "CRC-32/ISO-HDLC", { crc32: zlib.crc32 });

  const times = new Map(processorMedians(9, ...Object.values(work)).map((time, i) => [Object.keys(work)[i], time]));
  const timeOf = (what: string) => times.get(what) as number;
  const row = (what: string, peer: string, goal?: string): Row => {
    const time = timeOf(what);
    return { what, peer, ratio: timeOf(peer) / time, speed: speedOf(bytes.length, time), ...(goal && { goal }) };
  };
  return {
    title: "checksums (times as fast as the peer)",
    rows: [
      ...crcs.map((name) => row(name, peers.npm, algorithmOf(name).width <= 32 ? "0.6" : undefined)),
      row("CRC-32/ISO-HDLC", peers.zlib),
      row(handedIn, peers.zlib),
      ...sums.map((name) => row(name, peers.copy, "2000 MB/s")),
      ...others.map((name) => row(name, peers.copy)),
      row("SHA-256", peers.hash),
    ],
  };
}
