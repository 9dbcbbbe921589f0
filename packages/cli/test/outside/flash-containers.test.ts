import { cpSync, existsSync, mkdirSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { crc32, gzipSync } from "node:zlib";
import { beforeAll, describe, expect, it } from "vitest";
import { temporaryFolder } from "../support/folder.js";
import { assay } from "../support/run.js";

// The container: test-vectors/standards/example.odx-f.xml, made by hand after ISO 22901-1.
const standards = fileURLToPath(new URL("../../../../test-vectors/standards/", import.meta.url));
const text = readFileSync(join(standards, "example.odx-f.xml"), "utf8");
const data = readFileSync(join(standards, "example-data.bin"));
const folder = temporaryFolder();
const at = (name: string) => join(folder, name);

/** A zip archive of stored files (PKWARE, APPNOTE.TXT 6.3; from memory). */
function zipOf(files: Readonly<Record<string, Uint8Array>>): Buffer {
  const locals: Buffer[] = [];
  const entries: Buffer[] = [];
  let offset = 0;
  for (const [name, content] of Object.entries(files)) {
    const sizes = Buffer.alloc(12);
    sizes.writeUInt32LE(crc32(content), 0);
    sizes.writeUInt32LE(content.length, 4);
    sizes.writeUInt32LE(content.length, 8);
    const local = Buffer.alloc(30);
    local.write("PK\x03\x04", "latin1");
    sizes.copy(local, 14);
    local.writeUInt16LE(name.length, 26);
    const entry = Buffer.alloc(46);
    entry.write("PK\x01\x02", "latin1");
    sizes.copy(entry, 16);
    entry.writeUInt16LE(name.length, 28);
    entry.writeUInt32LE(offset, 42);
    locals.push(local, Buffer.from(name), Buffer.from(content));
    entries.push(entry, Buffer.from(name));
    offset += 30 + name.length + content.length;
  }
  const directory = Buffer.concat(entries);
  const end = Buffer.alloc(22);
  end.write("PK\x05\x06", "latin1");
  end.writeUInt16LE(Object.keys(files).length, 8);
  end.writeUInt16LE(Object.keys(files).length, 10);
  end.writeUInt32LE(directory.length, 12);
  end.writeUInt32LE(offset, 16);
  return Buffer.concat([...locals, directory, end]);
}

beforeAll(() => {
  writeFileSync(at("boat.odx-f"), text);
  cpSync(join(standards, "example-data.bin"), at("example-data.bin"));
  const document = Buffer.from(text);
  writeFileSync(
    at("boat.pdx"),
    zipOf({ "index.xml": Buffer.from("<CATALOG/>"), "boat.odx-f": document, "example-data.bin": data }),
  );
  writeFileSync(at("lacking.pdx"), zipOf({ "boat.odx-f": document }));
  mkdirSync(at("inside"));
  writeFileSync(join(folder, "inside", "boat.odx-f"), text);
  symlinkSync(at("example-data.bin"), join(folder, "inside", "example-data.bin"));
  writeFileSync(
    at("entity.odx-f"),
    `<!DOCTYPE ODX [<!ENTITY e SYSTEM "example-data.bin">]><ODX><FLASH>&e;</FLASH></ODX>`,
  );
});

const report = async (args: readonly string[]) => {
  const { stdout, code } = await assay([...args, "--json"]);
  return { code, report: JSON.parse(stdout.toString()) };
};

describe("a flash container on the command line", () => {
  it.each(["boat.odx-f", "boat.pdx"])("%s is a read and a profile", async (name) => {
    const { code, report: told } = await report(["check", at(name), "--profile", at(name), "--session", "full"]);
    expect(code).toBe(3);
    expect(told.inputs[0]).toMatchObject({ name, format: "odx-f" });
    expect(told.inputs[0].spans).toEqual([
      { start: 0x8000, length: 32 },
      { start: 0xc000, length: 16 },
    ]);
    expect(told.images[0].checksums.map(({ status }: { status: string }) => status)).toEqual(["holds", "holds"]);
  });

  it("is converted, held against a read, and what a read-back of it is held against", async () => {
    expect((await assay(["convert", at("boat.pdx"), at("boat.hex"), "--quiet"])).code).toBe(0);
    const profile = ["--profile", at("boat.odx-f")];
    const pair = await report(["pair", at("boat.odx-f"), at("boat.hex"), ...profile]);
    expect(pair.report.differences).toEqual([]);
    const readback = await report(["readback", at("boat.pdx"), at("boat.hex"), ...profile]);
    expect(readback.report.differences).toEqual([]);
    expect(readback.report.findings.filter(({ severity }: { severity: string }) => severity === "stop")).toEqual([]);
  });

  it("goes the whole way: composed into a donor, written, read back", async () => {
    const bytes = Buffer.alloc(0x5000, 0xff);
    bytes.write("a used unit of one kind", 0);
    bytes.write("its own settings", 0x4000);
    writeFileSync(at("used.bin"), bytes);
    // Its checksums cover nine bytes of the code; with one over all of it, by zlib, nothing is left open.
    const code = Buffer.alloc(32, 0xff);
    code.write("123456789");
    const whole = text
      .replace("<SOURCE-END-ADDRESS>8008", "<SOURCE-END-ADDRESS>801F")
      .replace(">CBF43926</CHECKSUM-RESULT", `>${crc32(code).toString(16).padStart(8, "0")}</CHECKSUM-RESULT`);
    writeFileSync(at("whole.odx-f.gz"), gzipSync(whole));
    const container = at("whole.odx-f.gz");
    const job = (hardware: string) => {
      const donor = { tester: { dataIdentifiers: { F191: hardware }, identifications: { boot_version: "258" } } };
      writeFileSync(at("job.json"), JSON.stringify({ job: "assay.job/1", donor, wanted: { software: "SW-0042" } }));
      const out = ["--out", at("composed.hex"), "--force"];
      return report(["donor", container, at("used.bin"), "--profile", container, "--job", at("job.json"), ...out]);
    };
    const refused = await job("HW-0001-C");
    expect(refused.code).toBe(1);
    expect(refused.report.findings[0]).toMatchObject({
      code: "donor/expectation-missed",
      expected: "HW-0001-A or HW-0001-B",
      found: "HW-0001-C",
    });
    expect(existsSync(at("composed.hex"))).toBe(false);
    const composed = await job("HW-0001-B");
    expect([composed.code, composed.report.verdict]).toEqual([0, "clear"]);
    expect((await report(["check", at("composed.hex"), "--profile", container])).report.verdict).toBe("clear");
    expect((await assay(["convert", at("composed.hex"), at("after.bin"), "--fill", "0xFF", "--quiet"])).code).toBe(0);
    const back = ["readback", at("composed.hex"), at("after.bin"), "--profile", container];
    expect((await report(back)).report.verdict).toBe("clear");
    const after = readFileSync(at("after.bin"));
    after.writeUInt8(0x39, 0x4005);
    writeFileSync(at("after.bin"), after);
    const wrong = await report(back);
    expect(wrong.code).toBe(1);
    expect(wrong.report.differences).toMatchObject([{ start: 0xc005, length: 1, region: "data" }]);
  });

  it("says what a profile of it leaves out", async () => {
    const { stdout, code } = await assay(["profile", "check", at("boat.pdx")]);
    expect(code).toBe(0);
    expect(stdout.toString()).toMatch(
      /example-full: valid \(2 regions, 0 fields, 2 checksums\)\nleft out: security for code/,
    );
  });

  it("with a file that is missing is stopped for, and with a link out of its folder refused", async () => {
    const lacking = await report(["check", at("lacking.pdx")]);
    expect(lacking.code).toBe(1);
    expect(lacking.report.findings[0]).toMatchObject({ code: "container/data-absent", found: "none" });
    const linked = await report(["check", join(folder, "inside", "boat.odx-f")]);
    expect(linked.code).toBe(2);
    expect(linked.report.error.code).toBe("container/outside-folder");
  });

  it("is refused with an entity of its own, and with a session that is not there", async () => {
    expect((await report(["check", at("entity.odx-f")])).report.error).toMatchObject({ code: "xml/document-type" });
    const { code, report: told } = await report(["check", at("boat.odx-f"), "--session", "other"]);
    expect(code).toBe(2);
    expect(told.error.message).toContain("session: expected one of full, got other");
  });

  it("may be read as the text that it is", async () => {
    const { report: told } = await report(["check", at("boat.odx-f"), "--from", "raw"]);
    expect(told.inputs[0]).toMatchObject({ format: "raw", bytes: text.length });
  });
});
