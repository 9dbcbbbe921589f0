import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { gunzipSync } from "node:zlib";
import { beforeAll, describe, expect, it } from "vitest";
import { programFor } from "../../src/program.js";
import { temporaryFolder } from "../support/folder.js";
import { inventedRecord } from "../support/record.js";
import { shell, workboat } from "../support/run.js";
import { stillWorld } from "../support/world.js";

// Every example of every help is run as it stands, in a folder with the files that the examples speak of; but a search
// is given little time: what it finds is tested elsewhere.
const folder = join(temporaryFolder(), "bench");

beforeAll(() => {
  mkdirSync(folder);
  const put = (name: string, from: string) =>
    writeFileSync(join(folder, name), gunzipSync(readFileSync(join(workboat, `${from}.gz`))));
  put("port.hex", "port.hex");
  put("port-again.bin", "port-read-2.bin");
  put("third.bin", "port-read-3.bin");
  put("starboard.bin", "starboard.bin");
  put("used.bin", "donor-later-boot.bin");
  const whole = readFileSync(join(folder, "starboard.bin"));
  const every = (first: number) => whole.filter((_, at) => at % 2 === first);
  writeFileSync(join(folder, "even.bin"), every(0));
  writeFileSync(join(folder, "odd.bin"), every(1));
  writeFileSync(join(folder, "boat-record.json"), inventedRecord(2));
  writeFileSync(join(folder, "job.json"), readFileSync(join(workboat, "job-donor-later.json")));
  writeFileSync(join(folder, "boat.json"), readFileSync(join(workboat, "profile.json")));
});

/** The help of a command, and of those below it, by name. */
function helpTexts(): Map<string, string> {
  const texts = new Map<string, string>();
  let text = "";
  const program = programFor(stillWorld(), { help: (more) => (text += more), ended: () => {} });
  const visit = (command: typeof program, name: string) => {
    text = "";
    command.outputHelp();
    texts.set(name, text);
    for (const below of command.commands) visit(below as typeof program, `${name} ${below.name()}`);
  };
  visit(program, "assay");
  return texts;
}

const helps = [...helpTexts()];
const examplesOf = (help: string) =>
  help
    .slice(0, help.indexOf("\nUsage:"))
    .split("\n")
    .filter((line) => line.startsWith("  assay "))
    .map((line) => line.trim().replace(/ {2,}\(.*\)$/, ""));

describe("help", () => {
  it.each(helps)("%s: at least two examples before everything else, 80 columns, below 100 lines", (_name, help) => {
    expect(help.startsWith("Examples:\n  assay ")).toBe(true);
    expect(examplesOf(help).length).toBeGreaterThanOrEqual(2);
    expect(help.split("\n").filter((line) => line.length > 80)).toEqual([]);
    expect(help.split("\n").length).toBeLessThan(100);
  });

  const examples = [...new Set(helps.flatMap(([, help]) => examplesOf(help)))].filter(
    (line) => !line.endsWith("--help"),
  );
  it.each(examples)("%s", async (line) => {
    const searches = /^assay (seek|draft) /.test(line);
    const { code, stderr } = await shell(searches ? `${line} --budget 2` : line, { cwd: folder });
    expect([0, 3], stderr).toContain(code);
  });
});
