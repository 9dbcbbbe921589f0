import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { crc32, gzipSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import { elfFile, joined, uf2Block } from "../../../core/test/formats/container-files.js";
import { zipOf } from "../../../core/test/formats/zip-files.js";
import { temporaryFolder } from "../support/folder.js";
import { assay, workboat } from "../support/run.js";

// Every row of the README's table of formats is tried: the same bytes of memory in each of them. Files are laid out by
// hand after the sources that the formats name; general tools hold the formats in the core's tests.

const at = (path: string) => fileURLToPath(new URL(`../../../../${path}`, import.meta.url));
const table = readFileSync(at("README.md"), "utf8")
  .split("## What is read and written")[1]
  ?.split("\n\n")[1]
  ?.split("\n")
  .slice(2)
  .map((line) => line.split(" | ").map((cell) => cell.replace(/^\| | \|$/g, "")));
const rows = (table ?? []) as [format: string, read: string, written: string][];

const folder = temporaryFolder();
const content = Buffer.from("Harbour workboat, two engine controllers, invented");
const start = 0x8000;
const inFolder = (name: string, bytes: Uint8Array | string): string => {
  const path = join(folder, name);
  writeFileSync(path, bytes);
  return path;
};

/** The memory in a file, through Intel HEX, of which the README says first that it is read and written. */
async function memoryOf(paths: readonly string[], more: readonly string[] = []): Promise<[number, string][]> {
  const { code, stdout, stderr } = await assay(["convert", ...paths, "-", "--to", "s-record", "--quiet", ...more]);
  expect([code, code === 0 ? "" : stderr]).toEqual([0, ""]);
  return stdout
    .toString()
    .split("\n")
    .filter((line) => /^S[123]/.test(line))
    .map((line): [number, string] => {
      const width = 2 * (Number(line[1]) + 1);
      return [Number.parseInt(line.slice(4, 4 + width), 16), line.slice(4 + width, -2)];
    });
}

const joinedData = (records: readonly (readonly [number, string])[]) => records.map(([, data]) => data).join("");
const whole = content.toString("hex").toUpperCase();
async function expectRead(path: string, address = start, ...more: string[]): Promise<void> {
  const records = await memoryOf([path], more);
  expect(records[0]?.[0]).toBe(address);
  expect(joinedData(records)).toBe(whole);
}

const hex = async (name: string): Promise<string> => {
  const raw = inFolder("whole.bin", content);
  const path = join(folder, name);
  expect((await assay(["convert", raw, path, "--base", "0x8000", "--quiet", "--force"])).code).toBe(0);
  return path;
};
const crcOf = (bytes: Uint8Array) => ~crc32(bytes) >>> 0;
const dfu = (): Buffer => {
  const suffix = Buffer.from([0, 1, 0x34, 0x12, 0x78, 0x56, 0, 1, 0x55, 0x46, 0x44, 16, 0, 0, 0, 0]);
  const file = Buffer.concat([content, suffix]);
  file.writeUInt32LE(crcOf(file.subarray(0, -4)), file.length - 4);
  return file;
};
const odx = readFileSync(at("test-vectors/standards/example.odx-f.xml"), "utf8");
const odxData = readFileSync(at("test-vectors/standards/example-data.bin"));

/** What is tried of a row, by the words that it begins with. */
const trials: Readonly<Record<string, () => Promise<void>>> = {
  raw: async () => {
    const path = inFolder("plain.bin", content);
    await expectRead(path, 0x1000, "--base", "0x1000");
    const swapped = Buffer.from(content).swap16();
    await expectRead(inFolder("swapped.bin", swapped), 0, "--layout", "swap-16");
    expect((await assay(["convert", await hex("a.hex"), join(folder, "back.bin"), "--quiet"])).code).toBe(0);
    expect(readFileSync(join(folder, "back.bin"))).toEqual(content);
  },
  "two or four part files": async () => {
    const part = (count: number, k: number) => content.filter((_, i) => i % count === k);
    const four = content.subarray(0, 48);
    const parts = [0, 1, 2, 3].map((k) =>
      inFolder(
        `part-${k}.bin`,
        four.filter((_, i) => i % 4 === k),
      ),
    );
    const halves = [0, 1].map((k) => inFolder(`half-${k}.bin`, part(2, k)));
    expect(joinedData(await memoryOf(halves, ["--parts", "interleaved"]))).toBe(whole);
    expect(joinedData(await memoryOf(parts, ["--parts", "interleaved"]))).toBe(whole.slice(0, 96));
    expect(joinedData(await memoryOf(halves, ["--parts", "joined"]))).toBe(
      Buffer.concat([part(2, 0), part(2, 1)])
        .toString("hex")
        .toUpperCase(),
    );
    expect((await assay(["check", ...halves, "--parts", "interleaved", "--quiet"])).code).toBe(3);
    expect((await assay(["pair", ...halves, "--parts", "interleaved"])).code).toBe(2);
  },
  "Intel HEX": async () => {
    await expectRead(await hex("whole.hex"));
    // Records 02, 03, 04 and 05, each with its checksum by hand.
    const text = [":020000020800F4", ":0100000041BE", ":0400000300003800C1", ":00000001FF", ""].join("\n");
    expect(await memoryOf([inFolder("segment.hex", text)])).toEqual([[0x8000, "41"]]);
    const linear = [":020000040001F9", ":0100000042BD", ":04000005000000CD2A", ":00000001FF", ""].join("\n");
    expect(await memoryOf([inFolder("linear.hex", linear)])).toEqual([[0x10000, "42"]]);
  },
  "Motorola S-record": async () => expectRead(await hex("whole.s19")),
  "TI-TXT": async () => expectRead(await hex("whole.titxt")),
  "Tektronix extended hex": async () => expectRead(await hex("whole.tek")),
  ELF: async () => {
    for (const width of [32, 64] as const) {
      for (const order of ["little", "big"] as const) {
        const file = elfFile(width, order, [{ physical: start, virtual: 0x20000000, bytes: content }]);
        await expectRead(inFolder(`${width}-${order}.elf`, file));
      }
    }
  },
  UF2: async () => {
    const halves = [content.subarray(0, 30), content.subarray(30)];
    const blocks = halves.map((data, number) => uf2Block({ address: start + 30 * number, data, number, count: 2 }));
    await expectRead(inFolder("two.uf2", joined(blocks)));
  },
  "a file with a USB DFU suffix": async () => {
    await expectRead(inFolder("one.dfu", dfu()), 0);
    const damaged = dfu();
    damaged[3] = 0;
    const told = await assay(["check", inFolder("damaged.dfu", damaged), "--json"]);
    expect(told.code).toBe(1);
    expect(JSON.parse(told.stdout.toString()).findings[0].code).toBe("dfu/checksum-wrong");
  },
  "flash container of ISO 22901-1": async () => {
    inFolder("example-data.bin", odxData);
    const document = inFolder("boat.odx-f", odx);
    const pack = inFolder("boat.pdx", zipOf({ "boat.odx-f": Buffer.from(odx), "example-data.bin": odxData }));
    for (const path of [document, pack]) {
      const records = await memoryOf([path]);
      expect(records.map(([address]) => address)).toEqual(expect.arrayContaining([0x8000, 0xc000]));
      expect((await assay(["profile", "check", path])).code).toBe(0);
      expect((await assay(["check", path, "--profile", path, "--quiet"])).stdout.toString()).toBe("check: review\n");
    }
  },
  "measurement description": async () => {
    const names = at("test-vectors/names/workboat.a2l");
    const [left, right] = ["starboard.bin.gz", "starboard-one-byte.bin.gz"].map((name) => join(workboat, name));
    const given = ["pair", left as string, right as string, "--names", names, "--json"];
    expect(JSON.parse((await assay(given)).stdout.toString()).names).toMatchObject({ project: "Workboat" });
  },
  gzip: async () => {
    const path = await hex("packed.hex");
    const text = readFileSync(path);
    await expectRead(inFolder("packed.hex.gz", gzipSync(text)));
    await expectRead(inFolder("packed.zip", zipOf({ "packed.hex": text })));
    await expectRead(inFolder("packed.bin.gz", gzipSync(content)), 0);
    await expectRead(inFolder("packed.dfu.gz", gzipSync(dfu())), 0);
    await expectRead(inFolder("packed.elf.gz", gzipSync(elfFile(32, "big", [{ physical: start, bytes: content }]))));
    const document = inFolder("boat.odx-f.gz", gzipSync(odx));
    expect((await memoryOf([document])).length).toBeGreaterThan(1);
  },
};

/** The names that --to knows, by the rows that say that a format is written. */
const written: Readonly<Record<string, string>> = {
  raw: "raw",
  "Intel HEX": "intel-hex",
  "Motorola S-record": "s-record",
  "TI-TXT": "ti-txt",
  "Tektronix extended hex": "tektronix-hex",
};

describe("the README's table of what is read and written", () => {
  const keyOf = (row: string) => Object.keys(trials).find((key) => row.startsWith(key));

  it("has a trial for each row, and each trial a row", () => {
    expect(rows.map(([format]) => keyOf(format) ?? format).sort()).toEqual(Object.keys(trials).sort());
  });

  it("says of each whether it is written", async () => {
    const said = rows.filter(([, , write]) => write === "yes").map(([format]) => written[keyOf(format) ?? ""]);
    const { stderr } = await assay(["convert", await hex("b.hex"), "-", "--to", "nothing"]);
    const known = /--to: expected ([a-z0-9, -]+), got/.exec(stderr.replace(/\s+/g, " "))?.[1]?.split(", ");
    expect([...said].sort()).toEqual([...(known ?? [])].sort());
    expect(rows.filter(([, , write]) => write !== "yes").every(([, , write]) => write === "no")).toBe(true);
  });

  it.each(rows)(
    "%s: read: %s",
    async (format, read) => {
      expect(read).toMatch(/^(yes|`check`, `convert`)$/);
      await trials[keyOf(format) ?? ""]?.();
    },
    120_000,
  );
});
