import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { gunzipSync } from "node:zlib";
import { beforeAll, describe, expect, it } from "vitest";
import { secondBoat, thirdBoat } from "../../../../test-vectors/build/workboat/fleet.js";
import { memoryOf, type Unit } from "../../../../test-vectors/build/workboat/unit.js";
import { temporaryFolder } from "../support/folder.js";
import { assay, workboat } from "../support/run.js";

// The ends of the memories of three invented boats, where numbers, coding and keys are: small enough to be searched whole.
const folder = join(temporaryFolder(), "draft");
const end = [0x38000, 0x38e00] as const;
const base = ["--base", "0x38000"];
const at = (name: string) => join(folder, name);
const pairs = ["--pair", "a-port.bin", "a-starboard.bin", "--pair", "b-port.bin", "b-starboard.bin"];

beforeAll(() => {
  mkdirSync(folder);
  const put = (name: string, bytes: Uint8Array) => writeFileSync(at(name), bytes.subarray(...end));
  const packed = (name: string) => gunzipSync(readFileSync(join(workboat, `${name}.gz`)));
  put("a-port.bin", packed("port-read-2.bin"));
  put("a-starboard.bin", packed("starboard.bin"));
  const unit = (name: string, one: Unit) => put(name, memoryOf(one).bytes);
  unit("b-port.bin", secondBoat.port);
  unit("b-starboard.bin", secondBoat.starboard);
  unit("c-port.bin", thirdBoat.port);
  unit("c-starboard.bin", thirdBoat.starboard);
  unit("c-as-port.bin", { ...thirdBoat.starboard, side: "port" });
});

const run = (...args: string[]) => assay(args, { cwd: folder });
const json = async (...args: string[]) => JSON.parse((await run(...args, "--json")).stdout.toString("utf8"));

describe("assay draft", () => {
  it("writes a profile that every command takes, and that finds a fault in a boat it has not seen", async () => {
    const drafted = await json("draft", ...pairs, ...base, "--out", "boat.json");
    expect(drafted).toMatchObject({
      schema: "assay.draft/1",
      written: { file: "boat.json" },
      searched: { complete: true },
      units: [{ side: "left" }, { side: "right" }, { side: "left" }, { side: "right" }],
    });
    expect(drafted.inputs.map(({ name }: { name: string }) => name)).toEqual([
      "a-port.bin",
      "a-starboard.bin",
      "b-port.bin",
      "b-starboard.bin",
    ]);
    const text = readFileSync(at("boat.json"), "utf8");
    expect(JSON.parse(text)).toEqual(drafted.profile);
    expect(text.length).toBe(drafted.written.bytes);

    const checked = await json("profile", "check", "boat.json");
    expect(checked.unconfirmed).toEqual(drafted.unconfirmed);
    const shown = await run("profile", "show", "boat.json");
    expect(shown.stdout.toString("utf8")).toMatch(/To be confirmed by a person/);

    const known = [...base, "--profile", "boat.json"];
    expect((await run("pair", "c-port.bin", "c-starboard.bin", ...known)).code).toBe(3);
    const stopped = await json("pair", "c-port.bin", "c-as-port.bin", ...known);
    expect(stopped.verdict).toBe("stop");
    expect(stopped.findings.map(({ code }: { code: string }) => code)).toContain("pair/same-side");
    expect((await run("check", "c-port.bin", ...known)).code).toBe(3);
    expect((await run("readback", "c-port.bin", "c-port.bin", ...known)).code).not.toBe(0);

    // And refined by the third boat: nothing is written over, no mark is lost.
    const again = ["draft", "--pair", "c-port.bin", "c-starboard.bin", ...known];
    const refined = await json(...again, "--out", "boat-2.json");
    expect(
      refined.held.filter(({ contradictions }: { contradictions: object[] }) => contradictions.length > 0),
    ).toEqual([]);
    for (const { path } of drafted.unconfirmed) {
      expect(refined.unconfirmed.map((one: { path: string }) => one.path)).toContain(path);
    }
    const over = await run(...again, "--out", "boat.json", "--force");
    expect([over.code, over.stderr]).toEqual([2, expect.stringContaining("output/over-input")]);
    expect(readFileSync(at("boat.json"), "utf8")).toBe(text);
  });

  it("keeps a file that is there, and writes nothing when it is not asked to", async () => {
    writeFileSync(at("taken.json"), "mine");
    const taken = await run("draft", ...pairs, ...base, "--out", "taken.json");
    expect([taken.code, taken.stderr]).toEqual([2, expect.stringContaining("output/exists")]);
    expect(readFileSync(at("taken.json"), "utf8")).toBe("mine");
    const quiet = await run("draft", ...pairs, ...base, "--budget", "1", "--quiet");
    expect([quiet.code, quiet.stdout.length]).toEqual([0, 0]);
    expect(existsSync(at("draft.json"))).toBe(false);
  });

  it("writes the profile to standard output when told so", async () => {
    const { code, stdout } = await run("draft", ...pairs, ...base, "--budget", "1", "--out", "-");
    expect(code).toBe(0);
    expect(JSON.parse(stdout.toString("utf8")).profile).toBe("assay.profile/1");
    const both = await run("draft", ...pairs, ...base, "--out", "-", "--json");
    expect([both.code, JSON.parse(both.stdout.toString("utf8")).error.code]).toEqual([2, "usage/output-twice"]);
  });

  it("takes rows that a hex file leaves out as what --fill says, and refuses them without", async () => {
    await run("convert", "a-starboard.bin", "a-starboard.hex", ...base, "--force");
    const text = readFileSync(at("a-starboard.hex"), "utf8");
    const rows = text.split("\n").filter((row) => !/^:[0-9A-F]{8}(FF)+[0-9A-F]{2}\r?$/.test(row));
    writeFileSync(at("a-gaps.hex"), rows.join("\n"));
    expect(rows.length).toBeLessThan(text.split("\n").length);
    const reads = ["a-port.bin", "a-gaps.hex", ...base, "--budget", "1", "--quiet"];
    expect((await run("draft", ...reads)).stderr).toContain("draft/other-addresses");
    expect((await run("draft", ...reads, "--fill", "0xFF")).code).toBe(0);
  });

  it("refuses a short raw read even when holes are to be filled, and a damaged file", async () => {
    writeFileSync(at("short.bin"), readFileSync(at("a-port.bin")).subarray(0, 0xd00));
    const short = await run("draft", "a-port.bin", "short.bin", ...base, "--fill", "0xFF");
    expect([short.code, short.stderr]).toEqual([2, expect.stringContaining("draft/other-addresses")]);
    writeFileSync(at("bad.hex"), ":0401000001020304F1\n:0401040005060708DE\n:00000001FF\n");
    const bad = await run("draft", "bad.hex", "a-port.bin");
    expect([bad.code, bad.stderr]).toEqual([2, expect.stringContaining("draft/damaged")]);
  });
});
