import { describe, expect, it } from "vitest";
import { Refusal } from "../../../src/findings/refusal.js";
import { readFlashContainer, sessionOf } from "../../../src/profile/odx/container.js";
import { containerProfile } from "../../../src/profile/odx/container-profile.js";
import { decodeSession, filesOf } from "../../../src/profile/odx/session-image.js";
import { beside, changed, example } from "./documents.js";

// Expected values: the document's own remark, and test-vectors/README.md.

describe("a flash container", () => {
  const container = readFlashContainer(example);
  const session = sessionOf(container, undefined);

  it("is read with its session, blocks, checksums and identifications", () => {
    expect(container).toMatchObject({ name: "example", title: "Example flash container", version: "2.2.0" });
    expect(session).toMatchObject({ id: "SE.full", name: "full", leftOut: [] });
    expect(session.expected).toEqual([
      {
        name: "hardware_number",
        values: [
          { type: "A_ASCIISTRING", text: "HW-0001-A" },
          { type: "A_ASCIISTRING", text: "HW-0001-B" },
        ],
      },
      { name: "boot_version", values: [{ type: "A_UINT32", text: "258" }] },
    ]);
    expect(session.checksums).toMatchObject([
      { name: "code_crc32", start: 0x8000, length: 9, fill: 0xff, result: { text: "cbf43926" } },
      { name: "data_sum16", start: 0xc000, length: 16, result: { text: "120" } },
    ]);
    expect(session.securities).toEqual([{ method: "CRC-32/ISO-HDLC", validFor: "code", carries: ["FW-CHECKSUM"] }]);
    expect(session.memory).toEqual([
      { name: "code_area", start: 0x8000, length: 0x4000, fill: 0xff },
      { name: "data_area", start: 0xc000, length: 4096, fill: 0xff },
    ]);
    expect(session.blocks[0]).toMatchObject({ name: "code", type: "CODE", own: [{ name: "software_number" }] });
    expect(filesOf(session)).toEqual(["example-data.bin"]);
  });

  it("has its sessions by name and by ID, and asks when there are several", () => {
    const two = readFlashContainer(
      changed(/<SESSIONS>/, '<SESSIONS><SESSION ID="SE.part"><SHORT-NAME>part</SHORT-NAME></SESSION>'),
    );
    expect(sessionOf(two, "full").id).toBe("SE.full");
    expect(sessionOf(two, "SE.part").name).toBe("part");
    expect(() => sessionOf(two, undefined)).toThrow(/expected one of part, full, got none: name one of those listed/);
    expect(() => sessionOf(two, "other")).toThrow(/got other/);
  });

  it("loses no element whose name was changed by one letter", () => {
    const tags = [...new Set([...example.matchAll(/<([A-Z][A-Z-]*)/g)].map((match) => match[1] as string))];
    expect(tags.length).toBeGreaterThan(45);
    const passedOver = tags.filter((tag) => {
      const renamed = example.replace(new RegExp(`(</?)${tag}(?=[\\s>/])`, "g"), `$1${tag.slice(0, -1)}9`);
      try {
        return sessionOf(readFlashContainer(renamed), undefined).unknown.length === 0;
      } catch (error) {
        return !(error instanceof Refusal);
      }
    });
    expect(passedOver).toEqual([]);
    const lost = sessionOf(
      readFlashContainer(changed('<DATABLOCK-REF ID-REF="DB.data"/>', '<DATABLOCJ-REF ID-REF="DB.data"/>')),
      "full",
    );
    expect(lost.unknown).toEqual([{ name: "DATABLOCJ-REF", inside: "DATABLOCK-REFS", line: 58 }]);
    const { findings } = decodeSession(lost, beside);
    expect(findings.map(({ code }) => code)).toEqual(["container/element-unknown"]);
    expect(containerProfile({ name: "c", title: undefined, version: undefined, sessions: [lost] }, lost)).toMatchObject(
      {
        confirmed: false,
        leftOut: expect.arrayContaining(["what DATABLOCJ-REF in DATABLOCK-REFS says (line 58): not known there"]),
      },
    );
  });

  it("loses no element that became text", () => {
    const lost = changed('<DATABLOCK-REF ID-REF="DB.data"/>', '8DATABLOCK-REF ID-REF="DB.data"/>');
    expect(sessionOf(readFlashContainer(lost), "full").unknown).toEqual([
      { name: 'the text "8DATABLOCK-REF ID-REF=\\"D"', inside: "DATABLOCK-REFS", line: expect.any(Number) },
    ]);
  });

  it("tells sessions of one name by their ID", () => {
    const again = changed("</SESSIONS>", '<SESSION ID="SE.again"><SHORT-NAME>full</SHORT-NAME></SESSION></SESSIONS>');
    const two = readFlashContainer(again);
    expect(() => sessionOf(two, "full")).toThrow(/expected one of full \(SE\.full\), full \(SE\.again\), got full/);
    expect(sessionOf(two, "SE.again").id).toBe("SE.again");
  });

  it("names what describes a session besides and is carried nowhere", () => {
    const connector = `</ECU-MEMS><ECU-MEM-CONNECTORS><ECU-MEM-CONNECTOR ID="EC"><SHORT-NAME>c</SHORT-NAME>
      <FLASH-CLASSS><FLASH-CLASS ID="FC"><SHORT-NAME>f</SHORT-NAME></FLASH-CLASS></FLASH-CLASSS>
      <SESSION-DESCS><SESSION-DESC DIRECTION="DOWNLOAD"><SHORT-NAME>d</SHORT-NAME><PARTNUMBER>WB-77</PARTNUMBER>
      <SESSION-SNREF SHORT-NAME="full"/><DIAG-COMM-SNREF SHORT-NAME="job"/></SESSION-DESC></SESSION-DESCS>
      <IDENT-DESCS><IDENT-DESC/></IDENT-DESCS></ECU-MEM-CONNECTOR></ECU-MEM-CONNECTORS>`;
    const described = sessionOf(readFlashContainer(changed("</ECU-MEMS>", connector)), "full");
    expect(described.partNumber).toBe("WB-77");
    expect(described.leftOut).toEqual([
      "the diagnostic job that carries the session out",
      "how a tester asks for 1 identifications",
    ]);
  });

  it.each([
    ["another document", /<FLASH[\s\S]*<\/FLASH>/, "<DIAG-LAYER-CONTAINER/>", /expected ODX with FLASH/],
    ["no session", /<SESSIONS>[\s\S]*<\/SESSIONS>/, "", /expected at least one session/],
    [
      "a reference to nothing",
      'ID-REF="DB.code"',
      'ID-REF="DB.gone"',
      /expected the ID of a DATABLOCK in this document, got DB.gone/,
    ],
    ["a reference to another kind", 'ID-REF="DB.code"', 'ID-REF="FD.hex"', /expected the ID of a DATABLOCK/],
    ["a reference into another document", 'ID-REF="DB.code"', 'ID-REF="X" DOCREF="other"', /X in the document other/],
    ["one ID twice", 'ID="DB.data"', 'ID="DB.code"', /ID: expected each once, got DB.code again/],
    [
      "an address that is none",
      "<SOURCE-START-ADDRESS>8000",
      "<SOURCE-START-ADDRESS>80G0",
      /SOURCE-START-ADDRESS: expected a number/,
    ],
    [
      "an address of 40 bits",
      "<SOURCE-START-ADDRESS>8000",
      "<SOURCE-START-ADDRESS>FF00000000",
      /expected a number from 0 to 2\*\*32/,
    ],
    [
      "an end before its start",
      "<SOURCE-END-ADDRESS>801F",
      "<SOURCE-END-ADDRESS>7000",
      /expected an end at or behind its start/,
    ],
    [
      "a range without an end",
      "<SOURCE-END-ADDRESS>801F</SOURCE-END-ADDRESS>",
      "",
      /expected an end address or a size/,
    ],
    ["a fill byte of two", "<FILLBYTE>FF", "<FILLBYTE>FFFF", /FILLBYTE: expected a byte/],
    ["a number that is none", 'TYPE="A_UINT32">258', 'TYPE="A_UINT32">2x', /expected a number of 32 bits/],
    ["odd digits", ">CBF43926</CHECKSUM", ">CBF4392</CHECKSUM", /expected pairs of hexadecimal digits/],
    ["a type that is none", 'TYPE="A_UINT32">258', 'TYPE="A_FLOAT">2', /TYPE: expected/],
  ])("with %s is refused, and says where", (_name, from, to, message) => {
    expect(() => readFlashContainer(changed(from as string, to))).toThrow(message);
  });

  it.each(["../outside.bin", "/etc/hostname", "a/../../b", "a\\b", "C:b", "", "./a", "a//b"])(
    "may not reach out of its folder: %s",
    (name) => {
      expect(() => readFlashContainer(changed(">example-data.bin<", `>${name}<`))).toThrow(
        /expected the name of a file in the container's folder/,
      );
    },
  );

  it("of many blocks that use the same data costs no more than they", () => {
    const blocks = Array.from(
      { length: 900 },
      (_, i) => `<DATABLOCK ID="B${i}" TYPE="CODE"><SHORT-NAME>b${i}</SHORT-NAME><FLASHDATA-REF ID-REF="FD.bin"/>
        <SEGMENTS><SEGMENT ID="S${i}"><SOURCE-START-ADDRESS>${(0x100000 + 16 * i).toString(16).toUpperCase()}</SOURCE-START-ADDRESS>
        <UNCOMPRESSED-SIZE>16</UNCOMPRESSED-SIZE></SEGMENT></SEGMENTS></DATABLOCK>`,
    ).join("");
    const references = Array.from({ length: 900 }, (_, i) => `<DATABLOCK-REF ID-REF="B${i}"/>`).join("");
    const text = changed(
      "<DATABLOCKS>",
      `<DATABLOCKS>${blocks}`,
      changed("<DATABLOCK-REFS>", `<DATABLOCK-REFS>${references}`),
    );
    const decoded = decodeSession(sessionOf(readFlashContainer(text), undefined), beside);
    expect(decoded.findings.map(({ code }) => code)).toContain("container/data-repeated");
    expect(decoded.image.length).toBeLessThanOrEqual(32);
  });
});
