import { cpSync, existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { temporaryFolder } from "../support/folder.js";
import { assay, workboat } from "../support/run.js";

const folder = join(temporaryFolder(), "bench");
const known = ["--profile", "profile.json"];
const clear = [
  "donor",
  "starboard.bin.gz",
  "donor-same.s19.gz",
  ...known,
  "--job",
  "job-donor.json",
  "--twin",
  "port.hex.gz",
];
const run = (args: readonly string[]) => assay(args, { cwd: folder });
const at = (name: string) => join(folder, name);

beforeAll(() => {
  mkdirSync(folder);
  cpSync(workboat, folder, { recursive: true });
  writeFileSync(at("taken.hex"), "already here");
});

describe("what was composed", () => {
  it("is the same in every format, and reads back clear", async () => {
    for (const name of ["new.bin", "new.hex", "new.s19"]) {
      const { code, stderr } = await run([...clear, "--side", "starboard", "--out", name]);
      expect(code, stderr).toBe(0);
      expect(stderr).toMatch(new RegExp(`^${name}: written, `));
      const back = await run(["readback", name, "new.bin", ...known, "--quiet"]);
      expect(back.code, name).toBe(name === "new.bin" ? 2 : 0);
    }
  });

  it("is named in the JSON, which is one document", async () => {
    const { code, stdout, stderr } = await run([...clear, "--side", "starboard", "--out", "json.bin", "--json"]);
    expect([code, stderr]).toEqual([0, ""]);
    const { output, plan, verdict } = JSON.parse(stdout.toString("utf8"));
    expect(verdict).toBe("clear");
    expect(output).toMatchObject({ name: "json.bin", format: "raw", bytes: 262144 });
    expect(plan.recomputed[0].checksum).toBe("identity-sum");
    expect(readFileSync(at("json.bin")).length).toBe(262144);
  });

  it("is told by a name without an owner's number when that is asked for", async () => {
    // The number of the boat, as job-donor.json gives it.
    const number = JSON.parse(readFileSync(at("job-donor.json"), "utf8")).machine.number as string;
    const args = [...clear, "--side", "starboard", "--private"];
    const told = await run([...args, "--out", `new-${number}.bin`]);
    expect(told.stderr).toMatch(/^new-\(masked\)\.bin: written, /);
    expect(existsSync(at(`new-${number}.bin`))).toBe(true);
    const json = await run([...args, "--out", `again-${number}.bin`, "--json"]);
    expect(JSON.parse(json.stdout.toString("utf8")).output.name).toBe("again-(masked).bin");
    const stopped = await run([...clear, "--side", "port", "--private", "--out", `never-${number}.bin`]);
    expect(stopped.stderr).toMatch(/^never-\(masked\)\.bin: not written/);
  });

  it("is written with a review, and says so", async () => {
    const { code, stderr } = await run([
      ...clear.slice(0, clear.indexOf("--twin")),
      "--side",
      "starboard",
      "--out",
      "open.bin",
    ]);
    expect(code).toBe(3);
    expect(stderr).toContain("the verdict is review");
    expect(existsSync(at("open.bin"))).toBe(true);
  });

  it("is not written with a stop", async () => {
    const { code, stderr } = await run([...clear, "--side", "port", "--out", "never.bin"]);
    expect(code).toBe(1);
    expect(stderr).toContain("never.bin: not written");
    expect(existsSync(at("never.bin"))).toBe(false);
    const json = await run([...clear, "--side", "port", "--out", "never.bin", "--json"]);
    expect(JSON.parse(json.stdout.toString("utf8")).output).toBe(null);
  });

  it("replaces a file only with --force, and no input ever", async () => {
    const without = await run([...clear, "--side", "starboard", "--out", "taken.hex"]);
    expect([without.code, readFileSync(at("taken.hex"), "utf8")]).toEqual([2, "already here"]);
    const replaced = await run([...clear, "--side", "starboard", "--out", "taken.hex", "--force"]);
    expect([replaced.code, readFileSync(at("taken.hex"), "utf8").startsWith(":")]).toEqual([0, true]);
    const over = await run(["donor", "new.bin", "json.bin", ...known, "--out", "new.bin", "--force"]);
    expect([over.code, over.stderr.includes("output/over-input")]).toEqual([2, true]);
  });

  it.each([
    [["--out", "-"], "usage/output-twice"],
    [["--out", "new.doc"], "usage/format-unsaid"],
    [["--to", "raw"], "usage/to-without-out"],
  ])("%j is refused", async (wish, code) => {
    const { code: exit, stderr } = await run([...clear, ...wish]);
    expect([exit, stderr.includes(code)]).toEqual([2, true]);
  });

  it("is refused without a profile: nobody says what stays", async () => {
    const { code, stderr } = await run(["donor", "starboard.bin.gz", "donor-same.s19.gz", "--out", "bare.bin"]);
    expect([code, stderr.includes("usage/out-without-profile")]).toEqual([2, true]);
  });

  it("is entered in the record with its plan and its digest", async () => {
    const args = [...clear, "--side", "starboard", "--out", "kept.bin", "--record", "record.json"];
    expect((await run(args)).code).toBe(0);
    const text = readFileSync(at("record.json"), "utf8");
    expect(text).toContain('"kept.bin"');
    expect(text).toContain("identity-sum");
    expect((await run(["record", "verify", "record.json"])).code).toBe(0);
  });
});
