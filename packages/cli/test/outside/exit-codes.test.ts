import { execFileSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { errorSchema, reportSchema } from "../../../core/src/report/schema.js";
import { temporaryFolder } from "../support/folder.js";
import { inside } from "../support/inside.js";
import { inventedRecord } from "../support/record.js";
import { assay, workboat } from "../support/run.js";

// The table of the contract: 0 clear or done, 1 stop, 2 could not be carried out, 3 review.
const folder = temporaryFolder();
const at = (name: string) => join(workboat, name);
writeFileSync(join(folder, "empty.json"), "");
writeFileSync(join(folder, "latin.json"), Buffer.from([0x22, 0xe9, 0x22]));
writeFileSync(join(folder, "small.hex"), ":0401000001020304F1\n:00000001FF\n");
execFileSync("mkfifo", [join(folder, "pipe")]);
const record = inventedRecord(3);
const changed = join(folder, "changed-record.json");
writeFileSync(join(folder, "record.json"), record);
writeFileSync(join(folder, "pretty-record.json"), JSON.stringify(JSON.parse(record), null, 2));
writeFileSync(changed, record.replace('"verdict":"stop"', '"verdict":"clear"'));
const known = ["--profile", at("profile.json")];
const port = at("port.hex.gz");
const starboard = at("starboard.bin.gz");

const cases: readonly (readonly [args: readonly string[], code: number])[] = [
  [["check", port, ...known], 0],
  [["check", at("starboard-bad-checksum.bin.gz"), ...known], 1],
  [["check", at("starboard-short.bin.gz"), ...known], 1],
  [["check", starboard], 3],
  [["check", port, ...known, "--side", "starboard"], 1],
  [["pair", port, starboard, ...known], 0],
  [["pair", port, at("starboard-other-build.bin.gz"), ...known], 1],
  [["pair", port, at("starboard-one-byte.bin.gz"), ...known], 1],
  [["pair", port, at("starboard-as-port.bin.gz"), ...known], 1],
  [["pair", port, starboard], 3],
  [["explain", "pair/same-side"], 0],
  [["explain", "container/invalid"], 0],
  [["explain"], 0],
  [["profile", "check", at("profile.json")], 0],
  [["profile", "schema"], 0],
  [["profile", "show", at("profile.json"), port], 0],
  [["record", "show", join(folder, "record.json")], 0],
  [["record", "show", changed], 1],
  [["record", "verify", join(folder, "record.json")], 0],
  [["record", "verify", join(folder, "record.json"), "--expect", "0".repeat(64)], 1],
  [["record", "verify", changed], 1],
  [["record", "verify", join(folder, "pretty-record.json")], 3],
  [["--version"], 0],
  [["--help"], 0],
  [["pair", "--help"], 0],
  // Everything below could not be carried out.
  [[], 2],
  [["profile"], 2],
  [["nothing"], 2],
  [["--nothing"], 2],
  [["pair"], 2],
  [["pair", port], 2],
  [["pair", port, starboard, port], 2],
  [["pair", port, starboard, "--profile"], 2],
  [["pair", port, starboard, "--nothing"], 2],
  [["pair", port, join(folder, "nothing.bin"), ...known], 2],
  [["pair", join(folder, "nothing.bin"), starboard, ...known], 2],
  [["pair", port, folder, ...known], 2],
  [["pair", port, join(folder, "pipe"), ...known], 2],
  [["pair", port, "/dev/zero", ...known], 2],
  [["pair", "-", "-"], 2],
  [["pair", port, starboard, "--profile", join(folder, "nothing.json")], 2],
  [["pair", port, starboard, "--profile", join(folder, "empty.json")], 2],
  [["pair", port, starboard, "--profile", join(folder, "latin.json")], 2],
  [["check", port, "--base", "0x1000"], 2],
  [["check", port, "--layout", "swap-16"], 1],
  [["check", starboard, "--layout", "sideways"], 2],
  [["check", starboard, "--base", "0x100000000"], 2],
  [["check", starboard, "--base", "0xFFFFFFFF"], 2],
  [["check", starboard, "--base", "1.5"], 2],
  [["check", starboard, "--max-size", "1K"], 2],
  [["check", port, ...known, "--side", "middle"], 2],
  [["check", ...Array<string>(17).fill(port)], 2],
  [["explain", "pair/nothing"], 2],
  [["record"], 2],
  [["record", "verify", join(folder, "nothing.json")], 2],
  [["record", "verify", at("profile.json")], 2],
  [["record", "verify", join(folder, "record.json"), "--expect", "12ab"], 2],
  [["check", port, ...known, "--note", "no record"], 2],
  [["check", port, ...known, "--record", changed], 2],
  [["check", port, ...known, "--record", join(folder, "pretty-record.json")], 2],
  [["check", port, ...known, "--record", at("profile.json")], 2],
  [["check", port, ...known, "--record", join(folder, "nowhere/record.json")], 2],
  [["check", port, ...known, "--record", "-"], 2],
  [["check", port, ...known, "--record", ""], 2],
  [["check", port, ...known, "--record", "/dev/null"], 2],
  [["check", port, ...known, "--record", join(folder, "pipe")], 2],
  [["check", port, ...known, "--record", folder], 2],
  [["check", port, ...known, "--record", join(folder, "new.json"), "--operator", ""], 2],
  [["profile", "check", join(folder, "empty.json")], 2],
  [["profile", "check", join(folder, "nothing.json")], 2],
  [["convert", port, join(folder, "a.unknown")], 2],
  [["convert", port, join(folder, "nowhere/a.bin")], 2],
  [["convert", port, folder, "--to", "raw"], 2],
  [["convert", join(folder, "small.hex"), "/dev/full", "--to", "raw"], 2],
  [["convert", join(folder, "small.hex"), join(folder, "a.hex"), "--record-length", "0"], 2],
  [["convert", join(folder, "small.hex"), join(folder, "a.bin"), "--fill", "256"], 2],
  [["convert", join(folder, "small.hex"), join(folder, "a.bin"), "--cover", "0..4K"], 2],
  [["convert", join(folder, "small.hex"), join(folder, "a.bin"), "--fill", "0xFF", "--cover", "4K..8K"], 2],
  [["convert", join(folder, "small.hex"), join(folder, "a.hex"), "--cover", "0..4K"], 2],
  [["convert", join(folder, "small.hex"), "-", "--to", "raw", "--json"], 2],
];

const verdicts: Readonly<Record<number, string>> = { 0: "clear", 1: "stop", 3: "review" };
const showable = (args: readonly string[]) =>
  args.map((arg) => arg.replace(workboat, "").replace(folder, "")).join(" ");
const named = cases.map(([args, code]) => [showable(args), args, code] as const);

describe("exit codes", () => {
  it.each(named)("assay %s", async (_shown, args, code) => {
    const { code: got, stdout, stderr } = await inside(args);
    expect(got, stderr).toBe(code);
    expect(stderr).not.toMatch(/\n\s+at /); // no stack
    if (code === 2) {
      if (!args.includes("--json")) expect(stdout).toBe("");
      expect(stderr).toMatch(/^assay: .+ \([a-z-]+\/[a-z-]+\)$/m);
    }
  });

  const withDocument = named.filter(
    ([, args]) => args[0]?.match(/^[a-z]/) && !args.includes("schema") && !args.includes("--help"),
  );
  it.each(withDocument)("assay %s --json: one document that fits its schema", async (_shown, args, code) => {
    const { code: got, stdout } = await inside([...args, "--json"]);
    expect(got).toBe(code);
    const document = JSON.parse(stdout);
    if (code === 2) errorSchema.strict().parse(document);
    else if (args[0] === "check" || args[0] === "pair")
      expect(reportSchema.parse(document).verdict).toBe(verdicts[code]);
    else expect(document.schema).toMatch(/^assay\.[a-z-]+\/1$/);
  });
});

it("a second file that cannot be read does not leave the first one's answer behind", async () => {
  expect((await inside(["check", port, join(folder, "gone.bin"), ...known])).code).toBe(2);
});

it("the same question gives the same bytes, in every locale and time zone", async () => {
  const args = ["pair", port, starboard, ...known, "--json"];
  const first = await assay(args);
  const second = await assay(args, { environment: { LANG: "tr_TR.UTF-8", LC_ALL: "ar_EG.UTF-8", TZ: "Pacific/Apia" } });
  expect(second.stdout.equals(first.stdout)).toBe(true);
  expect(first.code).toBe(0);
});
