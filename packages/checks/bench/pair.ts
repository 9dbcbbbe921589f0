import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { crc32 } from "node:zlib";
import { encode, Image } from "@assay/core";
import { content, medians, type Suite } from "./measure.js";

const assay = fileURLToPath(new URL("../../cli/bin/assay.cjs", import.meta.url));
const profile = {
  profile: "assay.profile/1",
  id: "bench",
  title: "four megabytes",
  source: "made for the benchmark",
  memory: { size: "4M", erased: "0xFF", holes: "erased" },
  regions: [{ name: "program", role: "program", over: [{ start: 0, length: "4M" }] }],
  checksums: [
    {
      name: "crc",
      algorithm: "CRC-32/ISO-HDLC",
      over: [{ start: 0, length: 4_194_300 }],
      stored: { at: 4_194_300 },
    },
  ],
};

/** `bytes` with the checksum of the profile behind them. */
function checked(bytes: Uint8Array): Uint8Array {
  const all = Buffer.from(bytes);
  all.writeUInt32BE(crc32(all.subarray(0, all.length - 4)), all.length - 4);
  return all;
}

/** Whole processes: how many times the time of a Node that does nothing. */
export async function pairSuite(): Promise<Suite> {
  const folder = mkdtempSync(join(tmpdir(), "assay-bench-"));
  const at = (name: string) => join(folder, name);
  const bytes = content(4 << 20);
  writeFileSync(at("profile.json"), JSON.stringify(profile));
  writeFileSync(at("left.bin"), checked(bytes));
  writeFileSync(at("right.bin"), checked(bytes.map((byte, i) => (i === 1000 ? byte ^ 1 : byte))));
  const unchecked = { ...profile, checksums: [] };
  writeFileSync(at("unchecked.json"), JSON.stringify(unchecked));
  writeFileSync(at("left.hex"), encode(Image.of([{ address: 0, bytes: checked(bytes) }]), "intel-hex"));
  const run = (...args: readonly string[]) => spawnSync(process.execPath, args, { stdio: "ignore" });
  const pair = (left: string, known = "profile.json") =>
    run(assay, "pair", at(left), at("right.bin"), "--profile", at(known), "--json");
  const hex = at("left.hex");
  const [node, version, raw, bare, mixed, convert, objcopy] = medians(
    9,
    () => run("-e", "0"),
    () => run(assay, "--version"),
    () => pair("left.bin"),
    () => pair("left.bin", "unchecked.json"),
    () => pair("left.hex"),
    () => run(assay, "convert", hex, at("out.bin"), "--force"),
    () => spawnSync("objcopy", ["-I", "ihex", "-O", "binary", hex, at("objcopy.bin")], { stdio: "ignore" }),
  ) as [number, number, number, number, number, number, number];
  const large = at("large.hex");
  writeFileSync(large, encode(Image.of([{ address: 0, bytes: content(64 << 20) }]), "intel-hex"));
  const copying = `const { readFileSync, writeFileSync } = require("node:fs");
    writeFileSync(${JSON.stringify(at("floor.bin"))}, readFileSync(${JSON.stringify(large)}).subarray(0, ${64 << 20}));`;
  const [convertLarge, copyLarge, objcopyLarge] = medians(
    3,
    () => run(assay, "convert", large, at("out.bin"), "--force"),
    () => run("-e", copying),
    () => spawnSync("objcopy", ["-I", "ihex", "-O", "binary", large, at("objcopy.bin")], { stdio: "ignore" }),
  ) as [number, number, number];
  rmSync(folder, { recursive: true });
  const peer = "the time of node -e 0";
  const row = (what: string, time: number, goal?: string) => ({
    what,
    peer,
    ratio: time / node,
    speed: `${time.toFixed(0)} ms`,
    ...(goal && { goal: `at most ${goal}` }),
  });
  return {
    title: "whole processes (times the time of the peer: less is better)",
    rows: [
      row("assay --version", version, "1.4"),
      row("pair of two raw 4 MiB images, profile, JSON", raw, "2.0"),
      row("the same without a checksum, so that statistics decide", bare),
      row("pair of hex and raw, 4 MiB", mixed, "2.0"),
      besideObjcopy("convert 4 MiB hex to raw", convert, objcopy),
      { ...besideObjcopy("convert 64 MiB hex to raw", convertLarge, objcopyLarge), goal: "at most 0.33" },
      besideObjcopy("no less than that: Node reads the hex, writes 64 MiB", copyLarge, objcopyLarge),
    ],
  };
}

function besideObjcopy(what: string, time: number, objcopy: number) {
  return { what, peer: "the time of objcopy", ratio: time / objcopy, speed: `${time.toFixed(0)} ms` };
}
