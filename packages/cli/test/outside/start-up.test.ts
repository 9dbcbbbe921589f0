import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { assay, run, workboat } from "../support/run.js";

const commandLine = fileURLToPath(new URL("../../", import.meta.url));
let folder = "";
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "assay-start-"));
});
afterAll(() => rmSync(folder, { recursive: true }));

/** The source files that begin when the program does what `args` ask for, as Node's own coverage tells them. */
async function begunBy(...args: readonly string[]): Promise<string[]> {
  const told = mkdtempSync(join(folder, "begun-"));
  await assay(args, { environment: { NODE_V8_COVERAGE: told } });
  const { result } = JSON.parse(readFileSync(join(told, readdirSync(told)[0] as string), "utf8")) as Coverage;
  const bundle = result.find(({ url }) => url.endsWith("/dist/assay.cjs"));
  return (bundle?.functions ?? [])
    .filter(({ functionName, ranges }) => functionName.endsWith(".ts") && (ranges[0]?.count ?? 0) > 0)
    .map(({ functionName }) => functionName);
}

interface Coverage {
  readonly result: readonly {
    readonly url: string;
    readonly functions: readonly {
      readonly functionName: string;
      readonly ranges: readonly { readonly count: number }[];
    }[];
  }[];
}

const raw = ["pair", `${workboat}starboard.bin.gz`, `${workboat}starboard-other-build.bin.gz`];

// One careless import has half of the program begin before its first line.
describe("what begins", () => {
  it("is little when only the release is asked for", async () => {
    const begun = await begunBy("--version");
    expect(begun).toContain("src/main.ts");
    expect(begun.filter((file) => file.includes("core/src"))).toEqual(["../core/src/findings/refusal.ts"]);
  });

  it("is no reader of containers or descriptions when two raw files are held together", async () => {
    const begun = await begunBy(...raw);
    expect(begun).toContain("../core/src/compare/pair.ts");
    expect(begun.filter((file) => /\/(odx|draft|discover|a2l)/.test(file))).toEqual([]);
  });
});

describe("compiled code that is kept beside the program", () => {
  /** A copy of the program whose kept code went through `change`. */
  function programWith(name: string, change: (kept: Buffer) => Uint8Array): string {
    const copy = join(folder, name);
    for (const part of ["bin", "dist"]) cpSync(join(commandLine, part), join(copy, part), { recursive: true });
    const cache = join(copy, "dist/assay.cache");
    writeFileSync(cache, change(readFileSync(cache)));
    return join(copy, "bin/assay.cjs");
  }
  async function answerOf(program: string): Promise<{ code: number | null; text: string }> {
    const { code, stdout } = await run(process.execPath, [program, ...raw, "--json"], {});
    return { code, text: stdout.toString() };
  }

  it("is made by the build", () => {
    expect(readFileSync(join(commandLine, "dist/assay.cache")).length).toBeGreaterThan(2 ** 18);
  });

  // Node itself would run it: it looks at a few numbers in front only.
  it.each([
    ["a bit of it turned", (kept: Buffer) => kept.map((byte, i) => (i === kept.length >> 1 ? byte ^ 1 : byte))],
    ["its start turned", (kept: Buffer) => kept.map((byte, i) => (i === 40 ? byte ^ 1 : byte))],
    ["cut short", (kept: Buffer) => kept.subarray(0, kept.length >> 1)],
    ["empty", () => new Uint8Array(0)],
  ])("is left alone when it is damaged: %s", async (name, change) => {
    const { code, stdout } = await assay([...raw, "--json"]);
    expect(await answerOf(programWith(name, change))).toEqual({ code, text: stdout.toString() });
  });

  it("is left alone when it is that of another text", async () => {
    const program = programWith("another text", (kept) => kept);
    const bundle = join(program, "../../dist/assay.cjs");
    const text = readFileSync(bundle, "latin1");
    // Of the same length, which is all that Node compares of a text.
    writeFileSync(bundle, text.replaceAll("fail", "FAIL"), "latin1");
    expect((await answerOf(program)).text).toContain("FAIL");
  });
});
