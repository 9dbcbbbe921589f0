import { cpSync, existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { gunzipSync } from "node:zlib";
import { beforeAll, describe, expect, it } from "vitest";
import { temporaryFolder } from "../support/folder.js";
import { inventedRecord } from "../support/record.js";
import { assay, workboat } from "../support/run.js";

// What a person sees, word for word. The screens are compared and never written by themselves:
//   ASSAY_WRITE_SCREENS=1 npx vitest run --project cli screens
// writes them, and the difference is then for a person to read.
const writes = process.env.ASSAY_WRITE_SCREENS === "1";
const screens = fileURLToPath(new URL("../screens/", import.meta.url));
const folder = join(temporaryFolder(), "bench");

beforeAll(() => {
  mkdirSync(folder);
  cpSync(workboat, folder, { recursive: true });
  writeFileSync(join(folder, "damaged.hex"), ":0401000001020304F1\n:0401040005060708DE\n:00000001FF\n");
  writeFileSync(join(folder, "small.hex"), ":0401000001020304F1\n:0400000500000100F6\n:00000001FF\n");
  const starboard = gunzipSync(readFileSync(join(folder, "starboard.bin.gz")));
  for (const [first, name] of ["even.bin", "odd.bin"].entries()) {
    writeFileSync(
      join(folder, name),
      starboard.filter((_, at) => at % 2 === first),
    );
  }
  writeFileSync(join(folder, "taken.bin"), "already here");
  writeFileSync(join(folder, "calibration.bin"), starboard.subarray(0x30000, 0x38000));
  writeFileSync(join(folder, "empty.bin"), "");
  const record = inventedRecord(3);
  const lines = record.split("\n");
  writeFileSync(join(folder, "boat-record.json"), record);
  writeFileSync(join(folder, "changed-record.json"), record.replace('"verdict":"stop"', '"verdict":"clear"'));
  writeFileSync(join(folder, "thinned-record.json"), lines.filter((_, i) => i !== 2).join("\n"));
  const port = gunzipSync(readFileSync(join(folder, "port-read-2.bin.gz")));
  for (const [name, whole] of [
    ["port", port],
    ["starboard", starboard],
  ] as const) {
    writeFileSync(join(folder, `${name}-end.bin`), whole.subarray(0x38000, 0x38e00));
  }
  const end = (name: string) => ({ name, role: "coding", over: [{ start: "0x38000", length: "2K" }] });
  const endProfile = {
    profile: "assay.profile/1",
    id: "end",
    title: "The end of a memory (invented)",
    source: "made for a test",
    memory: { base: "0x38000", erased: "0xFF" },
    regions: [end("coding")],
    fields: [{ name: "side", means: "side", type: "text", at: "0x38003", length: 1, oneOf: ["P", "T"] }],
    pair: { sides: { left: "port", right: "starboard", field: "side", values: { port: "P", starboard: "T" } } },
  };
  writeFileSync(join(folder, "end-profile.json"), JSON.stringify(endProfile));
  writeFileSync(join(folder, "port.bin"), gunzipSync(readFileSync(join(folder, "port-read-2.bin.gz"))));
  const profile = JSON.parse(readFileSync(join(folder, "profile.json"), "utf8"));
  profile.regions[0].role = "bot";
  profile.colour = "blue";
  writeFileSync(join(folder, "broken.json"), JSON.stringify(profile, null, 2));
  writeFileSync(join(folder, "twice.json"), '{ "profile": "assay.profile/1",\n  "id": "a",\n  "id": "b" }\n');
});

const known = ["--profile", "profile.json"];
const failed = ["--job", "job-donor.json", "--side", "starboard"];
const cases: Readonly<Record<string, readonly string[]>> = {
  version: ["--version"],
  help: ["--help"],
  "help-check": ["check", "--help"],
  "help-pair": ["pair", "--help"],
  "help-donor": ["donor", "--help"],
  "help-readback": ["readback", "--help"],
  "help-convert": ["convert", "--help"],
  "help-explain": ["explain", "--help"],
  "help-profile": ["profile", "--help"],
  "help-profile-show": ["profile", "show", "--help"],
  "no-command": [],
  "command-mistyped": ["piar", "port.hex.gz", "starboard.bin.gz"],
  "option-mistyped": ["pair", "port.hex.gz", "starboard.bin.gz", "--profil", "profile.json"],
  "argument-missing": ["pair", "port.hex.gz"],
  "address-wrong": ["check", "starboard.bin.gz", "--base", "-1"],
  "file-missing": ["check", "nothing.bin"],
  "file-missing-json": ["check", "nothing.bin", "--json"],
  "check-clear": ["check", "port.hex.gz", ...known],
  "check-two-reads": ["check", "port.hex.gz", "port-read-2.bin.gz", ...known, "--side", "port", "--quiet"],
  "check-short": ["check", "starboard-short.bin.gz", ...known],
  "check-parts": ["check", "even.bin", "odd.bin", "--parts", "interleaved", ...known],
  "check-parts-unequal": ["check", "even.bin", "small.hex", "--parts", "interleaved"],
  "check-line-dead": ["check", "port-line.bin.gz", ...known],
  "check-line-dead-without-profile": ["check", "port-line.bin.gz"],
  "check-swapped": ["check", "starboard-swapped.bin.gz", ...known],
  "check-swapped-laid-out": ["check", "starboard-swapped.bin.gz", ...known, "--layout", "swap-16", "--quiet"],
  "check-failed-page": ["check", "readback-failed-page.bin.gz", ...known],
  "check-vote": ["check", "port-read-2.bin.gz", "port.hex.gz", "port-read-3.bin.gz", ...known, "--out", "voted.bin"],
  "check-vote-of-two": ["check", "port.hex.gz", "port-read-2.bin.gz", ...known, "--out", "two.bin"],
  "check-without-profile": ["check", "starboard.bin.gz"],
  "pair-clear": ["pair", "port.hex.gz", "starboard.bin.gz", ...known],
  "pair-other-build": ["pair", "port.hex.gz", "starboard-other-build.bin.gz", ...known],
  "pair-one-byte": ["pair", "port.hex.gz", "starboard-one-byte.bin.gz", ...known],
  "pair-clone-private": ["pair", "port.hex.gz", "starboard-clone.bin.gz", ...known, "--private"],
  "pair-same-file": ["pair", "port.hex.gz", "port.hex.gz", ...known, "--quiet"],
  "pair-without-profile": ["pair", "port.hex.gz", "starboard.bin.gz"],
  "pair-json": ["pair", "port.hex.gz", "starboard.bin.gz", ...known, "--json"],
  "donor-clear": ["donor", "starboard.bin.gz", "donor-same.s19.gz", ...known, ...failed, "--twin", "port.hex.gz"],
  "donor-later-boot": [
    ...["donor", "starboard.bin.gz", "donor-later-boot.bin.gz", ...known, "--job", "job-donor-later.json"],
    ...["--twin", "port.hex.gz", "--out", "composed.hex"],
  ],
  "donor-other-hardware": [
    ...["donor", "starboard.bin.gz", "donor-other-hardware.bin.gz", ...known, "--side", "starboard"],
    ...["--out", "never.bin"],
  ],
  "donor-smaller": ["donor", "starboard.bin.gz", "donor-smaller.bin.gz", ...known, "--quiet", "--out", "never.bin"],
  "donor-over-input": ["donor", "starboard.bin.gz", "port.bin", ...known, "--out", "./PORT.bin", "--force"],
  "donor-without-profile": ["donor", "starboard.bin.gz", "donor-same.s19.gz"],
  "readback-clear": ["readback", "port.hex.gz", "readback-good.bin.gz", ...known],
  "readback-failed-page": ["readback", "port.hex.gz", "readback-failed-page.bin.gz", ...known],
  "readback-one-file": ["readback", "port.bin", "./port.bin", ...known],
  "convert-to-hex": ["convert", "small.hex", "-", "--to", "s-record", "--header", "bench"],
  "convert-leaves-behind": ["convert", "small.hex", "small.bin"],
  "convert-cover": ["convert", "small.hex", "covered.bin", "--cover", "0..4K", "--fill", "0xFF"],
  "convert-cover-without-fill": ["convert", "small.hex", "holed.bin", "--cover", "0..4K"],
  "convert-damaged": ["convert", "damaged.hex", "damaged.bin"],
  "convert-over-input": ["convert", "small.hex", "./SMALL.hex", "--force"],
  "convert-parts": ["convert", "even.bin", "odd.bin", "whole.bin", "--parts", "interleaved"],
  "convert-three-names": ["convert", "even.bin", "odd.bin", "whole-again.bin"],
  "convert-over-file": ["convert", "small.hex", "taken.bin"],
  "help-seek": ["seek", "--help"],
  "seek-calibration": ["seek", "calibration.bin", "--base", "0x30000"],
  "seek-json": ["seek", "calibration.bin", "--base", "0x30000", "--json"],
  "seek-nothing": ["seek", "empty.bin"],
  "help-draft": ["draft", "--help"],
  "draft-one-pair": ["draft", "--pair", "port-end.bin", "starboard-end.bin", "--base", "0x38000", "--out", "end.json"],
  "draft-against-old": [
    "draft",
    ...["--pair", "port-end.bin", "starboard-end.bin", "--base", "0x38000"],
    ...["--profile", "end-profile.json"],
  ],
  "draft-other-addresses": ["draft", "port-end.bin", "starboard.bin.gz"],
  "draft-over-input": ["draft", "port-end.bin", "starboard-end.bin", "--out", "./port-end.bin", "--force"],
  "draft-pair-of-three": ["draft", "--pair", "port-end.bin", "starboard-end.bin", "port.bin", "--json"],
  "explain-code": ["explain", "pair/same-side"],
  "explain-refusal": ["explain", "container/invalid"],
  "explain-mistyped": ["explain", "pair/same-sid"],
  "help-record": ["record", "--help"],
  "help-record-verify": ["record", "verify", "--help"],
  "record-show": ["record", "show", "boat-record.json"],
  "record-verify": ["record", "verify", "boat-record.json"],
  "record-verify-changed": ["record", "verify", "changed-record.json"],
  "record-verify-thinned": ["record", "verify", "thinned-record.json"],
  "record-verify-noted": ["record", "verify", "boat-record.json", "--expect", "0".repeat(64), "--quiet"],
  "record-verify-no-record": ["record", "verify", "profile.json"],
  "record-changed": ["check", "port.hex.gz", ...known, "--record", "changed-record.json"],
  "record-no-text": ["check", "port.hex.gz", "--record", "port.hex.gz", "--json"],
  "record-unsaid": ["check", "port.hex.gz", ...known, "--operator", "Ana"],
  "profile-check": ["profile", "check", "profile.json"],
  "profile-check-broken": ["profile", "check", "broken.json"],
  "profile-check-key-twice": ["profile", "check", "twice.json", "--json"],
  "profile-show": ["profile", "show", "profile.json"],
};

describe("what a person sees", () => {
  it.each(Object.entries(cases))("%s", async (name, args) => {
    const { code, stdout, stderr } = await assay(args, { cwd: folder });
    const shown = [
      `$ ${["assay", ...args].join(" ")}\n`,
      stdout.toString("utf8"),
      ...(stderr === "" ? [] : ["--- standard error\n", stderr]),
      `--- exit code ${code}\n`,
    ].join("");
    const file = join(screens, `${name}.txt`);
    if (writes) writeFileSync(file, shown);
    expect(existsSync(file), `no screen ${name}.txt`).toBe(true);
    expect(shown).toBe(readFileSync(file, "utf8"));
  });

  it("has no screen without a case", () => {
    expect(readdirSync(screens).sort()).toEqual(
      Object.keys(cases)
        .map((name) => `${name}.txt`)
        .sort(),
    );
  });
});
