import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { renderJson } from "../../src/render/json.js";
import { picture } from "../../src/render/picture.js";
import { renderText, verdictLine } from "../../src/render/text.js";
import { painter } from "../../src/terminal/paint.js";
import { withoutColour } from "../support/colours.js";
import { reportWith } from "../support/report.js";

const plain = painter(false);
const harmless = plain(renderText(reportWith("harmless words"), 80));

describe("the text of a report", () => {
  it("says the verdict first, then why, then what next", () => {
    const lines = harmless.split("\n");
    expect(lines[0]).toBe("pair: stop");
    const places = ["Why", "What next", "Memory", "Files", "Identity", "Checksums", "Cautions"].map((title) =>
      lines.indexOf(title),
    );
    expect(places.every((place) => place > 0)).toBe(true);
    expect(places).toEqual([...places].sort((a, b) => a - b));
  });

  it("puts what stops before what is to be reviewed, and that before notes", () => {
    const severities = harmless.split("\n").flatMap((line) => /^(stop|review|note) /.exec(line)?.[1] ?? []);
    expect(severities).toEqual(["stop", "review", "note"]);
  });

  it("names each place with both ends, size, region and role", () => {
    expect(harmless).toContain("right 0x00031000..0x00031001 (1 byte), region calibration");
    expect(plain(renderText(reportWith("x"), 80))).toContain("x, region x, line 7, offset 100");
  });

  it.each([40, 80, 200])("fits %i columns but for words that are longer", (width) => {
    const report = reportWith("several words that fill more than one line of a narrow terminal, one after the other");
    for (const line of plain(renderText(report, width)).split("\n")) {
      if (line.trim().includes(" ")) expect(line.length, line).toBeLessThanOrEqual(width);
    }
  });

  it("has the same words in colour and without", () => {
    const lines = renderText(reportWith("words"), 80);
    expect(withoutColour(painter(true)(lines))).toBe(plain(lines));
  });

  it("with quiet is the verdict alone", () => expect(plain([verdictLine(reportWith("x"))])).toBe("pair: stop\n"));

  it("holds nothing that acts on a terminal, whatever the report holds", () => {
    const acting = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}]/u;
    fc.assert(
      fc.property(fc.string({ unit: "binary" }), fc.boolean(), (text, colour) => {
        const shown = painter(colour)(renderText(reportWith(text), 80));
        expect(withoutColour(shown).replaceAll("\n", "")).not.toMatch(acting);
        expect(renderJson(reportWith(text)).replaceAll("\n", "")).not.toMatch(acting);
      }),
      { numRuns: 100 },
    );
  });

  it("keeps its shape when a line feed is put into a name", () => {
    const shapeOf = (text: string) => plain(renderText(reportWith(text), 200)).split("\n").length;
    expect(shapeOf("a\npair: clear\nb")).toBe(shapeOf("a-pair:-clear-b"));
  });
});

describe("the picture of the memory", () => {
  const report = reportWith("x");

  it("draws regions to scale, with letters, legend and what was found beneath", () => {
    const lines = picture(report, 70);
    expect(lines[0]).toBe("Memory 0x00000000..0x00040000 (262144 bytes)");
    const row = (label: string) => lines.find((line) => line.startsWith(label))?.slice(8) ?? "";
    expect(row("region")).toHaveLength(62);
    expect(row("region")).toMatch(/^A+-+B+-+$/);
    // 32 KiB and 16 KiB of 256 KiB on 62 columns.
    expect(row("region").match(/B/g)?.length).toBeGreaterThanOrEqual(7);
    expect(row("region").match(/A/g)?.length).toBeLessThanOrEqual(5);
    expect(row("left")).toMatch(/^=+$/);
    const at = row("region").indexOf("B");
    expect(row("found").slice(at, at + 2)).toContain("!");
    expect(lines.join("\n")).toContain("A boot x (boot)   B calibration");
    expect(lines.at(-1)).toContain("! stop");
  });

  it("shows holes of one file as blanks", () => {
    const [left] = report.inputs;
    if (!left) throw new Error("expected an input");
    const lines = picture({ ...report, inputs: [{ ...left, spans: [{ start: 0x20000, length: 0x20000 }] }] }, 70);
    expect(lines.find((line) => line.startsWith("left"))?.slice(8)).toMatch(/^ {28,34}={28,34}$/);
  });

  it("is left out of a report without addresses", () => {
    expect(picture({ ...report, inputs: [], images: [] }, 70)).toEqual([]);
  });
});
