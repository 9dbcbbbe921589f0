import { crc32 } from "node:zlib";
import { describe, expect, it } from "vitest";
import { Refusal } from "../../../src/findings/refusal.js";
import { Image } from "../../../src/image/image.js";
import { loadJobSheet } from "../../../src/job/load.js";
import { readFlashContainer, sessionOf } from "../../../src/profile/odx/container.js";
import { containerProfile } from "../../../src/profile/odx/container-profile.js";
import { decodeSession } from "../../../src/profile/odx/session-image.js";
import { askCheck } from "../../../src/questions/check.js";
import { askDonor } from "../../../src/questions/donor.js";
import { askPair } from "../../../src/questions/pair.js";
import { askReadback } from "../../../src/questions/readback.js";
import type { Report } from "../../../src/report/schema.js";
import { content } from "../../checksums/measured.js";
import { beside, changed, example } from "./documents.js";

const open = (text: string) => {
  const container = readFlashContainer(text);
  const session = sessionOf(container, undefined);
  return { profile: containerProfile(container, session), decoded: decodeSession(session, beside) };
};
const input = (role: string, image: Image) => ({
  role,
  name: `${role}.odx-f`,
  bytes: 1,
  sha256: role.length.toString(16).padStart(64, "0"),
  decoded: { ...open(example).decoded, image },
});

describe("the profile in a container", () => {
  const { profile, decoded } = open(example);
  // The checksums of the document cover nine bytes of the code: this one is over all of it, by zlib's crc32.
  const code = (decoded.image.read({ start: 0x8000, end: 0x8020 }) as Uint8Array).slice();
  const codeSum = crc32(code).toString(16).padStart(8, "0");

  it("has its blocks as regions, its memory, and its checksums", () => {
    expect(profile).toMatchObject({ id: "example-full", title: "Example flash container" });
    expect(profile.memory).toMatchObject({ base: 0x8000, size: 0x5000, erased: 0xff, holes: "erased" });
    expect(profile.regions.map(({ name, role }) => [name, role])).toEqual([
      ["code", "program"],
      ["data", "calibration"],
    ]);
    const report = askCheck({ reads: [input("read", decoded.image)], profile, version: "0" });
    expect(report.images[0]?.checksums).toMatchObject([
      { name: "code-crc32", status: "holds", stored: "cbf43926" },
      { name: "data-sum16", status: "holds", stored: "0078" },
    ]);
    expect(report.findings.map(({ code }) => code)).toEqual([
      "unit/profile-leaves-out",
      "checksum/uncovered",
      "checksum/order-unseen",
    ]);
    expect(report.inputs[0]?.format).toBe("odx-f");
  });

  it("has what it expects of a unit as rules for a donor", () => {
    expect(profile.donor?.expects.map(({ name, means, oneOf }) => [name, means, oneOf])).toEqual([
      ["hardware_number", "hardware-number", ["HW-0001-A", "HW-0001-B"]],
      ["boot_version", undefined, ["258"]], // a number: in what notation a tester shows it is not known
    ]);
    expect(profile.statedNumbers).toEqual([{ means: "software-number", number: "SW-0042", region: "code" }]);
    const named = (name: string) => open(changed("hardware_number<", `${name}<`)).profile.donor?.expects[0]?.means;
    expect(["HW_Number", "ECU_hw", "BootVersion", "sw_number", "calibration_id"].map(named)).toEqual([
      "hardware-number",
      "hardware-number",
      "boot-version",
      "software-number",
      "calibration-number",
    ]);
    expect(["hw_version", "systemSupplierECUHardwareNumber", "shower", "colour"].map(named)).toEqual(
      Array(4).fill(undefined),
    );
    const boot = open(changed('TYPE="CODE"', 'TYPE="BOOT"')).profile;
    expect(boot.donor?.regions).toEqual([{ region: "code", origin: "source", why: "session full writes it" }]);
    expect(boot.leftOut).toContain("block code says of itself, software_number: SW-0042");
  });

  it("lists what it cannot say", () => {
    expect(profile.leftOut).toEqual(["security for code: CRC-32/ISO-HDLC, FW-CHECKSUM; not carried out"]);
    const last = (text: string) => open(text).profile.leftOut.at(-1);
    expect(last(changed("SUM16-OF-BYTES", "OWN-SUM"))).toBe(
      "checksum data_sum16: the algorithm OWN-SUM is not known; it is not checked",
    );
    expect(last(changed('"A_UINT32">120<', '"A_UINT32">70000<'))).toMatch(/more than 16 bits/);
    expect(last(changed('TYPE="DATA"', 'TYPE="X9"'))).toBe("the kind of block data, X9: taken as program");
    expect(last(changed("<START-ADDRESS>C000", "<START-ADDRESS>C0000000"))).toMatch(/the size of the memory/);
  });

  it("finds a unit whose content is not that of the container", () => {
    const bytes = (decoded.image.read({ start: 0xc000, end: 0xc010 }) as Uint8Array).slice();
    bytes[3] = 4;
    const other = Image.of([...decoded.image.slice({ start: 0, end: 0xc000 }).segments, { address: 0xc000, bytes }]);
    const report = askCheck({ reads: [input("read", other)], profile, version: "0" });
    expect(report.verdict).toBe("stop");
    const mismatch = report.findings.find(({ code }) => code === "checksum/mismatch");
    expect(mismatch).toMatchObject({ expected: "0078", found: "0079", where: [{ start: 0xc000, length: 16 }] });
    const pair = askPair({ left: input("left", decoded.image), right: input("right", other), profile, version: "0" });
    expect(pair.differences).toMatchObject([{ start: 0xc003, length: 1, region: "data" }]);
  });

  it("of a document with one bit changed is refused, or the report is another, or the image is the same", () => {
    const told = (text: string) => {
      const { profile: own, decoded: held } = open(text);
      const report = askCheck({
        reads: [{ ...input("read", held.image), decoded: held }],
        profile: own,
        version: "0",
      });
      const weighty = report.findings.filter(({ severity }) => severity !== "note");
      return { image: held.image, findings: JSON.stringify(weighty.map(({ code, detail }) => [code, detail])) };
    };
    const sound = told(example);
    const silent: string[] = [];
    let refused = 0;
    for (let at = 0; at < example.length; at += 11) {
      const bit = at % 7;
      const other = String.fromCharCode(example.charCodeAt(at) ^ (2 ** bit));
      try {
        const { image, findings } = told(example.slice(0, at) + other + example.slice(at + 1));
        if (findings === sound.findings && !image.equals(sound.image)) silent.push(`${at}, bit ${bit}`);
      } catch (error) {
        expect(error).toBeInstanceOf(Refusal);
        refused++;
      }
    }
    expect(silent).toEqual([]);
    expect(refused).toBeGreaterThan(200);
  }, 120_000);

  it("says yes or no to a donor by what a job sheet says of it", () => {
    const covered = changed(
      "<SOURCE-END-ADDRESS>8008",
      "<SOURCE-END-ADDRESS>801F",
      changed(">CBF43926</CHECKSUM-RESULT", `>${codeSum}</CHECKSUM-RESULT`),
    );
    const used = Image.of([{ address: 0x8000, bytes: content(0x5000) }]);
    const bytes = new Uint8Array(0x5000).fill(0xff);
    bytes.set(content(0x20), 0);
    bytes.set(content(0x10), 0x4000);
    const full = Image.of([{ address: 0x8000, bytes }]);
    const ask = (donor: object, held: Image, software = "SW-0042", text = covered) =>
      askDonor({
        source: input("source", decoded.image),
        donor: input("donor", held),
        profile: open(text).profile,
        job: loadJobSheet(JSON.stringify({ job: "assay.job/1", donor, wanted: { software } })),
        version: "0",
      }).report;
    const codes = (report: Report, severity: string) =>
      report.findings.filter((one) => one.severity === severity).map(({ code }) => code);
    const tester = (hardware: string, boot = "258") => ({
      tester: { dataIdentifiers: { F191: hardware }, identifications: { boot_version: boot } },
    });
    const good = ask(tester("HW 0001 B"), full);
    expect(codes(good, "stop")).toEqual([]);
    expect(codes(good, "review")).toEqual([]);
    expect(good.verdict).toBe("clear");
    expect(codes(good, "note").filter((code) => code === "donor/expectation-met")).toHaveLength(2);
    expect(codes(ask(tester("HW-0001-B"), used), "review")).toContain("unit/bytes-undescribed");
    expect(codes(ask(tester("HW-0001-C"), full), "stop")).toEqual(["donor/expectation-missed"]);
    expect(codes(ask(tester("HW-0001-A", "2.58"), full), "stop")).toEqual(["donor/expectation-missed"]);
    expect(codes(ask({ label: { "hardware-number": "HW-0001-A" } }, full), "review")).toEqual([
      "donor/expectation-untold",
    ]);
    // A supplier's number need not be the maker's.
    const supplier = ask(
      { tester: { dataIdentifiers: { F192: "77" }, identifications: { boot_version: "258" } } },
      full,
    );
    expect(codes(supplier, "review")).toEqual(["donor/expectation-open"]);
    const contrary = { label: { "hardware-number": "HW-0001-A" }, ...tester("HW-0001-C") };
    expect(codes(ask(contrary, full), "stop")).toEqual(["donor/expectation-missed", "identity/sources-disagree"]);
    // Which software it is follows from the container, as long as its checksums cover all of the block.
    expect(codes(ask(tester("HW-0001-A"), full, "SW-0043"), "stop")).toContain("release/other-than-wanted");
    expect(codes(ask(tester("HW-0001-A"), full, "SW-0043", example), "review")).toContain("release/wanted-untold");
  });

  it("is of no unit that a job sheet tells of", () => {
    // The failed unit ran other software on hardware that the container does not name: that says nothing of the container.
    const unit = { label: { "hardware-number": "HW-0000" }, tester: { dataIdentifiers: { F188: "SW-0001" } } };
    const job = loadJobSheet(JSON.stringify({ job: "assay.job/1", units: [unit], wanted: { software: "SW-0042" } }));
    const text = changed(
      "<SOURCE-END-ADDRESS>8008",
      "<SOURCE-END-ADDRESS>801F",
      changed(">CBF43926</CHECKSUM-RESULT", `>${codeSum}</CHECKSUM-RESULT`),
    );
    const report = askCheck({ reads: [input("read", decoded.image)], profile: open(text).profile, job, version: "0" });
    expect(report.findings.filter(({ severity }) => severity !== "note")).toEqual([]);
    const read = { ...input("read", decoded.image), decoded: { ...decoded, format: "raw" as const } };
    const held = askCheck({ reads: [read], profile: open(text).profile, job, version: "0" });
    expect(held.findings.map(({ code }) => code)).toContain("identity/sources-disagree");
  });

  it("composes what a donor is to hold, and finds it whole in a read of it", () => {
    const used = Image.of([{ address: 0x8000, bytes: content(0x5000) }]);
    const { report, composed } = askDonor({
      source: input("source", decoded.image),
      donor: input("donor", used),
      profile,
      version: "0",
    });
    const untold = report.findings.filter(({ code }) => code === "donor/expectation-untold");
    expect(untold.map(({ expected }) => expected)).toEqual(["HW-0001-A or HW-0001-B", "258"]);
    expect(report.verdict).toBe("review");
    const image = composed as Image;
    for (const { address, bytes } of decoded.image.segments) {
      expect(image.read({ start: address, end: address + bytes.length })).toEqual(bytes);
    }
    const read = askCheck({ reads: [input("read", image)], profile, version: "0" });
    expect(read.images[0]?.checksums.map(({ status }) => status)).toEqual(["holds", "holds"]);
    expect(read.findings.filter(({ severity }) => severity === "stop")).toEqual([]);

    const request = { intended: input("intended", image), profile, version: "0" };
    const good = askReadback({ ...request, read: input("readback", image) });
    expect(good.findings.filter(({ severity }) => severity === "stop")).toEqual([]);
    const bytes = (image.read({ start: 0x8000, end: 0xd000 }) as Uint8Array).slice();
    bytes[5] = 0;
    const bad = askReadback({ ...request, read: input("readback", Image.of([{ address: 0x8000, bytes }])) });
    expect(bad.verdict).toBe("stop");
    expect(bad.differences).toMatchObject([{ start: 0x8005, length: 1, region: "code" }]);
  });
});
