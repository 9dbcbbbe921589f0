import { createRequire } from "node:module";
import { decode, encode, Image } from "@assay/core";
import { content, medians, type Row, type Suite, speedOf } from "./measure.js";

const require = createRequire(import.meta.url);
const MemoryMap = require("nrf-intel-hex");
const intelHex = require("intel-hex");
const versionOf = (name: string) => `${name} ${require(`${name}/package.json`).version}`;

/** Decoding and encoding in process, 32-byte records. Peers are so slow that they get a smaller file. */
export async function formatSuite(): Promise<Suite> {
  const large = Image.of([{ address: 0, bytes: content(8 << 20) }]);
  const small = Image.of([{ address: 0, bytes: content(1 << 20) }]);
  const hex = encode(large, "intel-hex");
  const smallHex = encode(small, "intel-hex");
  const smallText = Buffer.from(smallHex).toString("latin1");
  const srec = encode(large, "s-record");
  const digits = Buffer.from(large.segments[0]?.bytes ?? []).toString("hex");
  const raw = Buffer.from(large.segments[0]?.bytes ?? []);
  const [own, ownSrec, floor] = medians(
    7,
    () => decode(hex),
    () => decode(srec),
    () => Buffer.from(digits, "hex"),
  ) as [number, number, number];
  const [ownSmall, peer, other] = medians(
    9,
    () => decode(smallHex),
    () => MemoryMap.fromHex(smallText),
    () => intelHex.parse(smallText, 1 << 21),
  ) as [number, number, number];
  const [ownOut, ownSrecOut, outFloor] = medians(
    7,
    () => encode(large, "intel-hex"),
    () => encode(large, "s-record"),
    // Digits as bytes, as the encoders give them: at this size a system spends most of the time on handing out new memory.
    () => Buffer.from(raw.toString("hex"), "latin1"),
  ) as [number, number, number];
  const map = new MemoryMap([[0, small.segments[0]?.bytes]]);
  const [ownSmallOut, peerOut] = medians(
    9,
    () => encode(small, "intel-hex"),
    () => map.asHexString(32),
  ) as [number, number];
  const bytes = large.length;
  const rows: Row[] = [
    {
      what: "decode Intel HEX",
      peer: versionOf("nrf-intel-hex"),
      ratio: peer / ownSmall,
      speed: speedOf(small.length, ownSmall),
      goal: "100",
    },
    {
      what: "decode Intel HEX",
      peer: versionOf("intel-hex"),
      ratio: other / ownSmall,
      speed: speedOf(small.length, ownSmall),
      goal: "10",
    },
    {
      what: "decode Intel HEX, 8 MiB",
      peer: 'Buffer.from(digits, "hex")',
      ratio: floor / own,
      speed: speedOf(bytes, own),
      goal: "0.5",
    },
    {
      what: "decode S-record, 8 MiB",
      peer: 'Buffer.from(digits, "hex")',
      ratio: floor / ownSrec,
      speed: speedOf(bytes, ownSrec),
    },
    {
      what: "encode Intel HEX",
      peer: versionOf("nrf-intel-hex"),
      ratio: peerOut / ownSmallOut,
      speed: speedOf(small.length, ownSmallOut),
      goal: "100",
    },
    {
      what: "encode Intel HEX, 8 MiB",
      peer: 'toString("hex"), as bytes',
      ratio: outFloor / ownOut,
      speed: speedOf(bytes, ownOut),
      goal: "0.5",
    },
    {
      what: "encode S-record, 8 MiB",
      peer: 'toString("hex"), as bytes',
      ratio: outFloor / ownSrecOut,
      speed: speedOf(bytes, ownSrecOut),
    },
  ];
  return { title: "formats (times as fast as the peer)", rows };
}
