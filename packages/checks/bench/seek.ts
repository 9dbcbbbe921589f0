import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { algorithmNamed, algorithmNames, algorithmOf, Image, seekChecksums } from "@assay/core";
import { caseOf } from "../seek/cases.js";
import { content, medians, type Row, type Suite } from "./measure.js";

const assay = fileURLToPath(new URL("../../cli/bin/assay.cjs", import.meta.url));
const size = 2 ** 19;
/** Cases of one and of two reads: CRCs at the ends of blocks, and sums at their starts. */
const cases = [
  ["one read", 9],
  ["two reads", 10],
] as const;

/**
 * What a search costs that is told nothing, as a process of its own: times one plain pass of every algorithm that has a
 * name over the same bytes, which is the least that a search could do to a single range.
 */
export async function seekSuite(): Promise<Suite> {
  const folder = mkdtempSync(join(tmpdir(), "assay-bench-"));
  const peer = "one pass of each algorithm";
  const rows: Row[] = [];
  for (const [name, number] of cases) {
    const { contents } = caseOf(number, size);
    const files = contents.map((bytes, i) => {
      const file = join(folder, `${number}-${i}.bin`);
      writeFileSync(file, bytes);
      return file;
    });
    const [search, passes] = medians(
      1,
      () => spawnSync(process.execPath, [assay, "seek", ...files, "--json"], { stdio: "ignore" }),
      () => passOfEach(contents[0] as Uint8Array),
    ) as [number, number];
    rows.push({
      what: `512 KiB, ${name}, whole process`,
      peer,
      ratio: search / passes,
      speed: secondsOf(search),
      goal: "under 10 s",
    });
  }
  rmSync(folder, { recursive: true });
  rows.push(recovery(peer));
  return { title: "a search for undocumented checksums (times the time of the peer: less is better)", rows };
}

/** The time that it takes to recover a polynomial that no search knows. */
function recovery(peer: string): Row {
  const reads = readsOfOneFamily();
  const [search, passes] = medians(
    1,
    () => {
      const steps = seekChecksums(
        reads.map((bytes) => Image.of([{ address: 0, bytes }])),
        { families: [] },
      );
      let step = steps.next();
      while (!step.done) step = steps.next();
      if (step.value.found.length === 0) throw new Error("seek: expected the invented polynomial, got nothing");
    },
    () => passOfEach(reads[0] as Uint8Array),
  ) as [number, number];
  const speed = secondsOf(search);
  return { what: "32 KiB, four reads, an unknown polynomial", peer, ratio: search / passes, speed, goal: "under 5 s" };
}

/** Four units that differ in a number, each with a CRC of an invented polynomial behind its content. */
function readsOfOneFamily(): Uint8Array[] {
  const model = { width: 32, poly: 0x5d2fb3a7n, init: 0xffffffffn, refin: true, refout: true, xorout: 0n };
  return [1, 2, 3, 4].map((number) => {
    const bytes = content(2 ** 15);
    for (let i = 0; i < 8; i++) bytes[4096 + i] = (number * 2654435761) >>> (4 * i);
    const running = algorithmOf(model).start();
    running.update(bytes.subarray(0, -4));
    new DataView(bytes.buffer).setUint32(bytes.length - 4, Number(running.value()));
    return bytes;
  });
}

function passOfEach(bytes: Uint8Array): void {
  for (const name of algorithmNames()) {
    const running = algorithmNamed(name).start();
    running.update(bytes);
    running.value();
  }
}

function secondsOf(milliseconds: number): string {
  return `${(milliseconds / 1000).toFixed(1)} s`;
}
