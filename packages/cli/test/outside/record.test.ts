import { execFileSync, spawn, spawnSync } from "node:child_process";
import { once } from "node:events";
import * as fs from "node:fs";
import { basename, join } from "node:path";
import { fileURLToPath } from "node:url";
import { readRecord, verifyRecord } from "@assay/core";
import { build } from "esbuild";
import { beforeEach, describe, expect, it } from "vitest";
import { reportSchema } from "../../../core/src/report/schema.js";
import type { FileSystem } from "../../src/files/file-system.js";
import { targetAt } from "../../src/files/target.js";
import { main } from "../../src/main.js";
import { expectRecord } from "../../src/record.js";
import { temporaryFolder } from "../support/folder.js";
import { inventedRecord } from "../support/record.js";
import { assay, workboat } from "../support/run.js";
import { refusalOf, stillWorld, systemError } from "../support/world.js";

const root = temporaryFolder();
const port = join(workboat, "port.hex.gz");
const known = ["--profile", join(workboat, "profile.json")];
let folder = "";
let count = 0;
beforeEach(() => {
  folder = join(root, String(count++));
  fs.mkdirSync(folder);
  fs.writeFileSync(join(folder, "small.hex"), ":0401000001020304F1\n:00000001FF\n");
});
const at = (name: string) => join(folder, name);
const small = () => at("small.hex");

/** Runs the program in this process, at a time of day that stands still. */
async function run(args: readonly string[], replaced: Partial<FileSystem> = {}) {
  const world = { ...stillWorld(replaced), now: () => new Date("2026-05-04T09:00:00Z") };
  const code = await main(args, world);
  return { code, stdout: world.written.join(""), stderr: world.told.join("") };
}

/** The entries of a record that must hold. */
function entriesOf(path: string) {
  const reading = readRecord(fs.readFileSync(path, "utf8"));
  expect(verifyRecord(reading).verdict).toBe("clear");
  return reading.record.entries;
}

describe("a run that is recorded", () => {
  it("enters who, when, what from, and what came of it", async () => {
    const args = ["check", port, ...known, "--job", join(workboat, "job.json"), "--side", "port"];
    const given = ["--record", at("record.json"), "--operator", "Ana", "--note", "first read", "--json"];
    const { stdout } = await run([...args, ...given]);
    const report = reportSchema.parse(JSON.parse(stdout));
    const [entry] = entriesOf(at("record.json"));
    expect(entry).toMatchObject({
      number: 1,
      time: "2026-05-04T09:00:00.000Z",
      operator: "Ana",
      note: "first read",
      command: "check",
      verdict: report.verdict,
      tool: report.tool,
    });
    const digestOf = (path: string) => execFileSync("sha256sum", [path], { encoding: "utf8" }).slice(0, 64);
    const file = (role: string, path: string) => ({
      role,
      name: basename(path),
      bytes: fs.statSync(path).size,
      sha256: digestOf(path),
    });
    expect(entry?.inputs).toEqual([
      file("read", port),
      file("profile", join(workboat, "profile.json")),
      file("job", join(workboat, "job.json")),
    ]);
    expect(entry?.findings.map(({ code }) => code).sort()).toEqual(report.findings.map(({ code }) => code).sort());
    expect(report.record).toEqual({ name: "record.json", entry: 1, digest: entry?.digest });
  });

  it("gives the exit code of its verdict, run after run, and the digest to hold the record against", async () => {
    const record = ["--record", at("record.json")];
    const runs = [
      ["pair", port, join(workboat, "starboard.bin.gz"), ...known],
      ["pair", port, join(workboat, "starboard-one-byte.bin.gz"), ...known],
      ["check", small()],
    ];
    const codes: number[] = [];
    const digests: string[] = [];
    for (const args of runs) {
      const { code, stdout } = await run([...args, ...record, "--json"]);
      codes.push(code);
      digests.push(JSON.parse(stdout).record.digest);
    }
    expect(codes.slice(0, 2)).toEqual([0, 1]);
    expect(entriesOf(at("record.json")).map(({ digest }) => digest)).toEqual(digests);
    for (const digest of digests) {
      expect((await run(["record", "verify", at("record.json"), "--expect", digest])).code).toBe(0);
    }
    const { stdout } = await run([...(runs[0] as string[]), ...record]);
    expect(stdout).toContain(entriesOf(at("record.json"))[3]?.digest);
  });

  it("enters what was planned and composed, and says the digest though the plan was shown before", async () => {
    const donor = [port, join(workboat, "donor-same.s19.gz"), ...known, "--out", at("out.bin")];
    const { code, stderr } = await run(["donor", ...donor, "--record", at("record.json")]);
    expect([0, 3], stderr).toContain(code);
    const [entry] = entriesOf(at("record.json"));
    const sha256 = execFileSync("sha256sum", [at("out.bin")], { encoding: "utf8" }).slice(0, 64);
    expect(entry?.output).toEqual({ name: "out.bin", bytes: 262144, sha256 });
    expect(entry?.plan).not.toBe(null);
    expect(stderr).toContain(entry?.digest);
  });

  it("names every part file", async () => {
    fs.writeFileSync(at("even.bin"), Buffer.alloc(64, 1));
    fs.writeFileSync(at("odd.bin"), Buffer.alloc(64, 2));
    await run(["check", at("even.bin"), at("odd.bin"), "--parts", "interleaved", "--record", at("record.json")]);
    const names = entriesOf(at("record.json"))[0]?.inputs.map(({ role, name }) => `${role}: ${name}`);
    expect(names).toEqual(["read: even.bin + odd.bin", "read part 1: even.bin", "read part 2: odd.bin"]);
  });

  it("with --private holds no serial and no machine number, not even in the name of a file", async () => {
    const shown = JSON.parse((await run(["check", port, ...known, "--json"])).stdout);
    const masked = JSON.parse((await run(["check", port, ...known, "--json", "--private"])).stdout);
    const { identity } = shown.images[0];
    const secrets = Object.keys(identity).filter((name) => identity[name] !== masked.images[0].identity[name]);
    expect(secrets.length).toBeGreaterThan(1);
    const values = secrets.map((name) => identity[name] as string);
    const named = at(`port ${values.join(" ")}.hex.gz`);
    fs.copyFileSync(port, named);
    const args = ["check", named, ...known, "--record", at("record.json")];
    await run(args);
    const open = fs.readFileSync(at("record.json"), "utf8");
    for (const value of values) expect(open.split(value)).toHaveLength(2); // in the name of the file, nowhere else
    fs.unlinkSync(at("record.json"));
    await run([...args, "--private"]);
    const closed = fs.readFileSync(at("record.json"), "utf8");
    for (const value of values) expect(closed).not.toContain(value);
    expect(closed).toContain("(masked)");
  });

  it("shows what it found of several units alike in one line, with how often", async () => {
    const read = (name: string) => join(workboat, name);
    const units = [read("starboard.bin.gz"), read("donor-same.s19.gz"), "--twin", port];
    await run(["donor", ...units, ...known, "--record", at("record.json"), "--quiet"]);
    const told = entriesOf(at("record.json"))[0]?.findings.filter(({ code }) => code === "checksum/order-unseen");
    expect(told?.length).toBeGreaterThan(1);
    const { stdout } = await run(["record", "show", at("record.json")]);
    expect(stdout.split("checksum/order-unseen")).toHaveLength(2);
    expect(stdout).toContain(`note checksum/order-unseen, ${told?.length} times\n`);
  });

  it("shows names and notes without anything that moves a cursor", async () => {
    const evil = "a\u001b[2J\u202e\r\nb\u0007";
    const name = at(`x\u001b[31m.hex`);
    fs.copyFileSync(small(), name);
    await run(["check", name, "--record", at("record.json"), "--operator", evil, "--note", evil]);
    expect(entriesOf(at("record.json"))[0]).toMatchObject({ operator: evil, note: evil });
    for (const json of [[], ["--json"]]) {
      const { code, stdout } = await run(["record", "show", at("record.json"), ...json]);
      expect(code).toBe(0);
      expect(stdout).not.toMatch(/[^\n\x20-\x7e]/);
    }
  });
});

describe("a run that cannot be recorded", () => {
  const args = () => ["check", small(), "--record", at("record.json"), "--quiet"];
  const full = {
    writeSync: () => {
      throw systemError("ENOSPC");
    },
  } as unknown as Partial<FileSystem>;

  it.each([
    ["the disk is full", full],
    ["the disk fails on forcing", { fsyncSync: full.writeSync }],
    ["the name cannot be given", { renameSync: full.writeSync, linkSync: full.writeSync }],
    ["no lock can be made", { symlinkSync: full.writeSync }],
  ] as [string, Partial<FileSystem>][])(
    "gives 2 and no verdict when %s, and the record stays",
    async (_why, replaced) => {
      for (const before of [undefined, inventedRecord(2)]) {
        if (before !== undefined) fs.writeFileSync(at("record.json"), before);
        const { code, stdout, stderr } = await run(args(), replaced);
        expect({ code, stdout }).toEqual({ code: 2, stdout: "" });
        expect(stderr).toContain("got a full disk (ENOSPC)");
        const left = before === undefined ? ["small.hex"] : ["record.json", "small.hex"];
        expect(fs.readdirSync(folder).sort()).toEqual(left);
        if (before !== undefined) expect(fs.readFileSync(at("record.json"), "utf8")).toBe(before);
      }
    },
  );

  it("is not begun when the record does not hold, which stays as it is", async () => {
    const altered = inventedRecord(2).replace('"verdict":"stop"', '"verdict":"clear"');
    fs.writeFileSync(at("record.json"), altered);
    const opened: string[] = [];
    const openSync = ((path: string, ...more: [number]) => {
      opened.push(path);
      return fs.openSync(path, ...more);
    }) as FileSystem["openSync"];
    expect((await run(args(), { openSync })).code).toBe(2);
    expect(opened).toEqual([at("record.json")]);
    expect(fs.readFileSync(at("record.json"), "utf8")).toBe(altered);
  });

  const mounted = (() => {
    const place = join(root, "mounted");
    fs.mkdirSync(place);
    const { status } = spawnSync("mount", ["-t", "tmpfs", "-o", "size=64k", "tmpfs", place], { stdio: "ignore" });
    return status === 0 ? place : undefined;
  })();
  it.skipIf(!mounted)("fills a disk of 64 KiB to its end, and the last whole record stays", async () => {
    const place = mounted as string;
    try {
      const record = join(place, "record.json");
      let runs = 0;
      let code = 0;
      for (; code !== 2 && runs < 100; runs++) {
        code = (await run(["check", small(), "--record", record, "--note", "n".repeat(4000), "--quiet"])).code;
      }
      expect(code).toBe(2);
      expect(entriesOf(record)).toHaveLength(runs - 1);
      expect(fs.readdirSync(place)).toEqual(["record.json"]);
    } finally {
      execFileSync("umount", [place]);
    }
  });
});

describe("what a record is never written over", () => {
  it.each([
    ["the read", "small.hex", undefined],
    ["a link to the read", "link.json", () => fs.symlinkSync("small.hex", at("link.json"))],
    ["another name of the read", "hard.json", () => fs.linkSync(small(), at("hard.json"))],
    ["the read's name in capitals", "SMALL.HEX", undefined],
    ["a file that is no record", "other.json", () => fs.writeFileSync(at("other.json"), "{}")],
    ["an empty file", "empty.json", () => fs.writeFileSync(at("empty.json"), "")],
  ])("%s", async (_what, name, make) => {
    make?.();
    const before = fs.readdirSync(folder).map((each) => [each, fs.readFileSync(at(each), "utf8")]);
    for (const force of [[], ["--quiet"]]) {
      expect((await run(["check", small(), "--record", at(name), ...force])).code).toBe(2);
    }
    expect(fs.readdirSync(folder).map((each) => [each, fs.readFileSync(at(each), "utf8")])).toEqual(before);
  });

  it("the record itself, when it is what was read", async () => {
    fs.writeFileSync(at("record.json"), inventedRecord(1));
    expect((await run(["check", at("record.json"), "--record", at("record.json")])).code).toBe(2);
    expect(entriesOf(at("record.json"))).toHaveLength(1);
  });

  it("and nothing else that a run writes goes over its record, be it there or to come", async () => {
    for (const there of [false, true]) {
      if (there) fs.writeFileSync(at("record.json"), inventedRecord(1));
      const world = stillWorld();
      await expectRecord(world, { record: at("record.json") });
      for (const name of ["record.json", "RECORD.json", `../${basename(folder)}/record.json`]) {
        expect(await refusalOf(() => targetAt(world, `${folder}/${name}`, true))).toBe("output/over-input");
      }
    }
  });

  it("a link to a record is followed and stays", async () => {
    fs.mkdirSync(at("archive"));
    fs.writeFileSync(at("archive/record.json"), inventedRecord(1), { mode: 0o640 });
    fs.symlinkSync("archive/record.json", at("record.json"));
    await run(["check", small(), "--record", at("record.json")]);
    expect(fs.readlinkSync(at("record.json"))).toBe("archive/record.json");
    expect(entriesOf(at("archive/record.json"))).toHaveLength(2);
    expect(fs.statSync(at("archive/record.json")).mode & 0o777).toBe(0o640);
  });
});

describe("several at once", () => {
  it("of eight processes none loses its entry", async () => {
    const names = Array.from({ length: 8 }, (_, i) => `Ana ${i}`);
    const ran = await Promise.all(
      names.map((name) => assay(["check", small(), "--record", at("record.json"), "--operator", name, "--quiet"])),
    );
    expect(ran.map(({ code }) => code)).toEqual(names.map(() => 3));
    expect(
      entriesOf(at("record.json"))
        .map(({ operator }) => operator)
        .sort(),
    ).toEqual(names);
    expect(fs.readdirSync(folder).sort()).toEqual(["record.json", "small.hex"]);
  }, 300_000);
});

it("a record that is replaced while it is read is read again", async () => {
  fs.writeFileSync(at("record.json"), inventedRecord(2));
  let reads = 0;
  const readSync = ((handle: number, buffer: Uint8Array, offset: number, length: number, position: number | null) => {
    const got = fs.readSync(handle, buffer, offset, length, position);
    if (reads++ === 0) {
      fs.writeFileSync(at("next.json"), inventedRecord(3));
      fs.renameSync(at("next.json"), at("record.json"));
    }
    return got;
  }) as FileSystem["readSync"];
  const { code, stdout } = await run(["record", "verify", at("record.json")], { readSync });
  expect(code).toBe(0);
  expect(stdout).toContain("3 entries");
});

describe("a run that is killed", () => {
  const source = (name: string) => fileURLToPath(new URL(`../../src/${name}`, import.meta.url));
  const writer = join(root, "recorder.mjs");
  // Enters runs one after the other, without the start of Node between them, so that most kills fall into the writing.
  const program = `
    import { main } from ${JSON.stringify(source("main.ts"))};
    import { nodeWorld } from ${JSON.stringify(source("node-world.ts"))};
    const world = nodeWorld();
    const [read, record] = process.argv.slice(2);
    for (let runs = 0; ; runs++) {
      world.kept.length = 0;
      const code = await main(["check", read, "--record", record, "--quiet", "--note", "n".repeat(4000)], world);
      if (code !== 3) process.exit(9);
    }`;

  async function recorder() {
    if (!fs.existsSync(writer)) {
      await build({
        stdin: { contents: program, resolveDir: fileURLToPath(new URL("../../", import.meta.url)) },
        bundle: true,
        platform: "node",
        format: "esm",
        outfile: writer,
        alias: { "@assay/core": fileURLToPath(new URL("../../../core/src/index.ts", import.meta.url)) },
        banner: {
          js: 'import { createRequire as __createRequire } from "node:module"; const require = __createRequire(import.meta.url);',
        },
      });
    }
    const child = spawn(process.execPath, [writer, small(), at("record.json")], {
      stdio: ["ignore", "pipe", "inherit"],
    });
    const closed = once(child, "close");
    const started = Promise.race([once(child.stdout, "data"), closed]).then(() => expect(child.exitCode).toBe(null));
    child.stdout.resume();
    return { child, closed, started };
  }

  it("at any moment leaves the old record or the new one, and the next run goes on from it", async () => {
    let before = 0;
    let strays = 0;
    for (let i = 0; i < 14; i++) {
      const { child, closed, started } = await recorder();
      await started;
      await new Promise((resolve) => setTimeout(resolve, i * 1.7));
      child.kill("SIGKILL");
      expect((await closed)[1]).toBe("SIGKILL");
      const entries = entriesOf(at("record.json")).length;
      expect(entries).toBeGreaterThan(before);
      before = entries;
      strays += fs.readdirSync(folder).length - 2;
    }
    // The next run takes over the lock of the dead and clears away what they left.
    expect((await assay(["check", small(), "--record", at("record.json"), "--quiet"])).code).toBe(3);
    expect(entriesOf(at("record.json"))).toHaveLength(before + 1);
    expect(fs.readdirSync(folder).sort()).toEqual(["record.json", "small.hex"]);
    expect(strays).toBeGreaterThan(0); // some were killed in the middle
  }, 300_000);

  it("does not hold up another that waits for it", async () => {
    const first = await recorder();
    await first.started;
    const second = await recorder();
    await new Promise((resolve) => setTimeout(resolve, 100));
    first.child.kill("SIGKILL");
    await first.closed;
    const before = entriesOf(at("record.json")).length;
    // It prints after each run that it entered, and gives up by itself on a lock that stays.
    await second.started;
    while (entriesOf(at("record.json")).length <= before) {
      expect(second.child.exitCode).toBe(null);
      await Promise.race([once(second.child.stdout, "data"), second.closed]);
    }
    second.child.kill("SIGINT");
    expect((await second.closed)[1]).toBe("SIGINT");
    entriesOf(at("record.json"));
    expect(fs.readdirSync(folder).filter((name) => name.includes(".lock") || name.includes(".partial"))).toEqual([]);
  }, 300_000);
});
