import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { fromHex } from "../../src/bytes/hex.js";
import { catalogue } from "../../src/findings/catalogue.js";
import { decode } from "../../src/formats/decode.js";
import { corpusFile } from "./container-files.js";

// test-vectors/standards/image-format-vectors.json: the file was made with dfu-suffix 0.11 (USB DFU 1.1, appendix B).
const { images } = JSON.parse(
  readFileSync(new URL("../../../../test-vectors/standards/image-format-vectors.json", import.meta.url), "utf8"),
) as { images: { name: string; hex: string }[] };
const file = fromHex(images.find(({ name }) => name === "usb-dfu-1.1-suffix")?.hex ?? "");
const codesOf = (bytes: Uint8Array) => decode(bytes).findings.map(({ code }) => code);

describe("a file with a DFU suffix", () => {
  it("is the content before the suffix, which is told", () => {
    const { format, image, findings, originOf } = decode(file, { base: undefined });
    expect(format).toBe("dfu");
    expect(image.read({ start: 0, end: file.length - 16 })).toEqual(file.subarray(0, -16));
    expect(image.length).toBe(file.length - 16);
    expect(findings).toHaveLength(1);
    expect(findings[0]).toMatchObject({
      code: "dfu/suffix-removed",
      facts: { length: 16 },
      where: [{ offset: file.length - 16 }],
    });
    expect(originOf(3)).toEqual({ offset: 3 });
    expect(decode(file, { base: 0x8000 }).image.bounds?.start).toBe(0x8000);
    expect(decode(file, { format: "raw" }).image.length).toBe(file.length);
  });

  it("is refused for every changed bit before its CRC, and for its CRC", () => {
    for (let at = 0; at < file.length; at++) {
      const letters = at >= file.length - 9 && at < file.length - 4;
      if (letters) continue; // without them it is no such file any more
      for (let bit = 0; bit < 8; bit++) {
        const copy = file.slice();
        copy[at] = (copy[at] as number) ^ (1 << bit);
        expect(codesOf(copy), `${at}.${bit}`).toContain("dfu/checksum-wrong");
      }
    }
  });

  it("of another version is doubted", () => {
    const copy = file.slice();
    copy[file.length - 10] = 0x1a;
    expect(codesOf(copy)).toEqual(["dfu/checksum-wrong", "dfu/version-unknown", "dfu/suffix-removed"]);
  });

  it("is raw when the letters are there and the rest is not", () => {
    const bytes = new Uint8Array(64);
    bytes.set([0x55, 0x46, 0x44], 56);
    expect(decode(bytes).format).toBe("raw");
    expect(decode(bytes, { format: "dfu" }).format).toBe("raw");
  });
});

// Debian packages ubertooth-firmware, firmware-tomu and hackrf-firmware; the numbers are those of their devices.
describe.each([
  ["ubertooth-firmware/usr/share/ubertooth/firmware/blinky.dfu", { vendor: "1d50", product: "6003" }],
  ["ubertooth-firmware/usr/share/ubertooth/firmware/bluetooth_rxtx.dfu", { vendor: "1d50", product: "6003" }],
  ["firmware-tomu/usr/lib/firmware-tomu/toboot-booster.dfu", { vendor: "1209", product: "70b1" }],
  ["hackrf-firmware/usr/share/hackrf/hackrf_one_usb.dfu", { vendor: "1fc9", product: "000c" }],
])("the real file %s", (name, numbers) => {
  const bytes = corpusFile(name);

  it.runIf(bytes)("holds by its own CRC, and does not when a byte is changed", () => {
    const whole = bytes as Uint8Array;
    const { findings, image } = decode(whole);
    expect(findings.filter(({ code }) => catalogue[code].severity !== "note")).toEqual([]);
    expect(findings.find(({ code }) => code === "dfu/suffix-removed")?.facts).toMatchObject(numbers);
    const prefix = findings.some(({ code }) => code === "dfu/prefix-removed") ? 16 : 0;
    expect(prefix > 0).toBe(name.includes("hackrf"));
    expect(image.length).toBe(whole.length - 16 - prefix);
    const copy = whole.slice();
    copy[1000] = (copy[1000] as number) ^ 1;
    expect(codesOf(copy)).toContain("dfu/checksum-wrong");
  });
});
