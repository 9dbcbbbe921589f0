import { mkdirSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { gunzipSync, gzipSync } from "node:zlib";
import { beforeAll, describe, expect, it } from "vitest";
import { temporaryFolder } from "../support/folder.js";
import { assay, workboat } from "../support/run.js";

// test-vectors/names/workboat.a2l: made for the invented workboat.
const names = fileURLToPath(new URL("../../../../test-vectors/names/workboat.a2l", import.meta.url));
const folder = temporaryFolder();
const profile = ["--profile", join(workboat, "profile.json")];
const left = join(workboat, "starboard.bin.gz");
const right = join(folder, "changed.bin");

beforeAll(() => {
  const bytes = gunzipSync(readFileSync(left));
  bytes.fill(0xee, 0x31120, 0x31148); // rows 3 to 5 of the table at 0x31100
  writeFileSync(right, bytes);
  // No mark of the software stands where the description wants it, so it says none here.
  const text = readFileSync(names, "latin1");
  writeFileSync(join(folder, "plain.a2l"), text.replace(/EPK "[^"]*"/, ""));
  writeFileSync(join(folder, "broken.a2l"), text.replace("/end MODULE", ""));
});

describe("names of places", () => {
  it("stand at the differences, in text and in JSON", async () => {
    const given = ["pair", left, right, ...profile, "--names", join(folder, "plain.a2l")];
    const told = await assay(given);
    expect(told.code).toBe(1);
    expect(told.stdout.toString()).toMatch(
      /in the table InjectionMap, rows 3 to 5 \(\d+ bytes, the first at\s+0x00031120\)/,
    );
    const { differences, names: about } = JSON.parse((await assay([...given, "--json"])).stdout.toString());
    expect(about).toMatchObject({ file: "plain.a2l", identifier: null, used: true });
    expect(differences.filter(({ names: met }: { names?: unknown }) => met)).not.toEqual([]);
  });

  it("come out of a packed description as well", async () => {
    const text = readFileSync(join(folder, "plain.a2l"));
    writeFileSync(join(folder, "plain.a2l.gz"), gzipSync(text));
    const given = ["pair", left, right, ...profile, "--names", join(folder, "plain.a2l.gz")];
    expect((await assay(given)).stdout.toString()).toContain("in the table InjectionMap, rows 3 to 5");
    writeFileSync(join(folder, "cut.a2l.gz"), gzipSync(text).subarray(0, 500));
    const cut = await assay([...given.slice(0, -1), join(folder, "cut.a2l.gz"), "--json"]);
    expect(JSON.parse(cut.stdout.toString()).error).toMatchObject({ code: "file/archive-damaged" });
  });

  it("are not given when the images are of other software than the description", async () => {
    const told = await assay(["pair", left, right, ...profile, "--names", names]);
    expect(told.stdout.toString()).toContain("names are not given: the description is of other software");
    expect(told.stdout.toString()).not.toContain("InjectionMap");
    expect(told.stdout.toString()).toMatch(
      /review {2}The names may not fit this software \(names\/other-software\)\n.*\n.*\n(.*\n)?\s+where {5}left 0x0003/,
    );
    const masked = await assay(["pair", left, right, ...profile, "--names", names, "--private", "--json"]);
    const findings = JSON.parse(masked.stdout.toString()).findings as { code: string; found: string }[];
    expect(findings.filter(({ code }) => code === "names/other-software").map(({ found }) => found)).toEqual([
      "another text",
      "another text",
    ]);
  });

  it("are in files beside the description, but in none outside of its folder", async () => {
    const text = readFileSync(join(folder, "plain.a2l"), "latin1");
    const at = text.indexOf("/begin CHARACTERISTIC");
    const end = text.indexOf("/end MODULE");
    const include = (name: string) => `${text.slice(0, at)}/include "${name}" ${text.slice(end)}`;
    mkdirSync(join(folder, "a"));
    writeFileSync(join(folder, "a", "objects.a2l"), text.slice(at, end));
    writeFileSync(join(folder, "split.a2l"), include("a/objects.a2l"));
    const told = await assay(["pair", left, right, ...profile, "--names", join(folder, "split.a2l")]);
    expect(told.stdout.toString()).toMatch(/in the table InjectionMap, rows 3 to 5/);
    writeFileSync(join(folder, "a", "up.a2l"), include("../plain.a2l"));
    const up = await assay(["pair", left, right, ...profile, "--names", join(folder, "a", "up.a2l"), "--json"]);
    const about = JSON.parse(up.stdout.toString()).names;
    expect(about.leftOut).toContain("the file ../plain.a2l, which is to be read in its place");
    symlinkSync(join(folder, "plain.a2l"), join(folder, "a", "link.a2l"));
    writeFileSync(join(folder, "a", "linked.a2l"), include("link.a2l"));
    const linked = await assay(["pair", left, right, "--names", join(folder, "a", "linked.a2l"), "--json"]);
    expect(linked.code).toBe(2);
    expect(JSON.parse(linked.stdout.toString()).error.code).toBe("names/outside-folder");
  });

  it("of a description that does not hold together are refused, with the line", async () => {
    const { code, stdout } = await assay(["pair", left, right, "--names", join(folder, "broken.a2l"), "--json"]);
    expect(code).toBe(2);
    expect(JSON.parse(stdout.toString()).error).toMatchObject({ code: "names/invalid", line: expect.any(Number) });
  });
});
