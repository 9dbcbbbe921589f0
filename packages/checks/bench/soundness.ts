import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { Image } from "@assay/core";
import { measureSoundness } from "../../core/dist/soundness/measure.js";
import { content, medians, type Row, type Suite, speedOf } from "./measure.js";

const assay = fileURLToPath(new URL("../../cli/bin/assay.cjs", import.meta.url));
const sizes = [
  ["256 KiB", 2 ** 18, undefined],
  ["4 MiB", 2 ** 22, "at most 10"],
  ["64 MiB", 2 ** 26, "at most 10"],
] as const;

/**
 * What it costs to look at a read: times the time that sha256sum, as a process of its own, takes for the same file. The
 * measurement is that of a program that is running; the whole process starts, reads, measures and reports.
 */
export async function soundnessSuite(): Promise<Suite> {
  const folder = mkdtempSync(join(tmpdir(), "assay-bench-"));
  const peer = "the time of sha256sum";
  const rows: Row[] = [];
  for (const [name, size, goal] of sizes) {
    const bytes = content(size);
    const file = join(folder, "read.bin");
    writeFileSync(file, bytes);
    const image = Image.of([{ address: 0, bytes }]);
    const [measured, whole, digest] = medians(
      5,
      () => measureSoundness(image, { exact: true }),
      () => spawnSync(process.execPath, [assay, "check", file, "--json"], { stdio: "ignore" }),
      () => spawnSync("sha256sum", [file], { stdio: "ignore" }),
    ) as [number, number, number];
    const row = (what: string, time: number) => ({ what, peer, ratio: time / digest, speed: speedOf(size, time) });
    rows.push({ ...row(`measure a read of ${name}`, measured), ...(goal && { goal }) });
    rows.push(row(`check a read of ${name}, whole process`, whole));
  }
  rmSync(folder, { recursive: true });
  return { title: "soundness of a read (times the time of the peer: less is better)", rows };
}
