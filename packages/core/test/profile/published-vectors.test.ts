import { createHash } from "node:crypto";
import { readdirSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { fromHex, toHex } from "../../src/bytes/hex.js";
import { contains } from "../../src/bytes/span.js";
import type { ChecksumFacts } from "../../src/checksums/facts.js";
import { measureChecksums } from "../../src/checksums/measure.js";
import type { Profile } from "../../src/profile/schema/profile.js";
import { describeUnit, type Unit } from "../../src/unit/unit.js";
import { checksumsOf, publishedProfile, rawImage, statusesOf, vectorFile } from "./published.js";

/** A field of a vector. Its numbers are as the standard writes them; offsets below 0 count from the end. */
interface VectorField {
  readonly name: string;
  readonly offset: number;
  readonly size: number;
  readonly value?: number | string;
  readonly text?: string;
  readonly hex?: string;
}
interface Vector {
  readonly name: string;
  readonly hex: string;
  readonly fields: readonly VectorField[];
  readonly source: string;
}

// test-vectors/standards/image-format-vectors.json: each image names its standard and the tool that made or accepted it.
const { images } = JSON.parse(new TextDecoder().decode(vectorFile("standards/image-format-vectors.json"))) as {
  images: readonly Vector[];
};

/** The whole image where the vector holds its header only, as its description says. */
function wholeImage({ name, hex }: Vector): Uint8Array {
  const bytes = fromHex(hex);
  if (name === "game-boy-header") {
    const rom = new Uint8Array(32 * 1024);
    rom.set(bytes, 0x100);
    return rom;
  }
  if (name !== "android-boot-v0") return bytes;
  const image = new Uint8Array(3 * 2048);
  image.set(bytes);
  image.set(new TextEncoder().encode("kernel".repeat(10)), 2048);
  image.set(new TextEncoder().encode("ramdisk".repeat(7)), 2 * 2048);
  return image;
}

const formats: readonly (readonly [vector: string, profile: string, checksums: readonly string[]])[] = [
  ["uimage-legacy", "u-boot-legacy-image", ["header", "data"]],
  ["usb-dfu-1.1-suffix", "usb-dfu-suffix", ["file"]],
  ["edid-base-block", "edid", ["base"]],
  ["jedec-spd-ddr3", "jedec-spd-ddr3", ["parameters"]],
  ["pci-expansion-rom", "pci-expansion-rom", ["image"]],
  ["game-boy-header", "game-boy", ["header", "global"]],
  ["mega-drive-rom", "mega-drive", ["program"]],
  ["android-boot-v0", "android-boot-image", ["id-0"]],
  ["nxp-lpc2000-vectors", "nxp-lpc-arm7", ["vectors"]],
  ["nxp-lpc-cortex-m-vectors", "nxp-lpc-cortex-m", ["vectors"]],
  ["particle-module", "particle-module", ["hash", "module"]],
  ["smbios-2.x-entry-point", "smbios-2", ["inner", "entry"]],
  ["smbios-3.0-entry-point", "smbios-3", ["entry"]],
  ["acpi-ssdt", "acpi-table", ["table"]],
  ["acpi-rsdp-2", "acpi-root-pointer", ["first", "extended"]],
  ["gba-header", "game-boy-advance", ["header"]],
  ["rp2040-boot2", "rp2040-second-stage", ["loader"]],
  ["aurix-tc2xx-bmhd", "aurix-tc2xx-boot-header", ["header"]],
  ["aurix-tc3xx-bmhd", "aurix-tc3xx-boot-header", ["header"]],
];

it("every published image and every profile of a published format is in this table", () => {
  expect(formats.map(([vector]) => vector).sort()).toEqual(images.map(({ name }) => name).sort());
  const elsewhere = ["edid-two-tiles", "c-bios-main"]; // no vector: tested on real files
  const files = readdirSync(new URL("../../../../test-vectors/profiles/", import.meta.url));
  expect([...formats.map(([, profile]) => profile), ...elsewhere].map((name) => `${name}.json`).sort()).toEqual(
    files.filter((file) => file.endsWith(".json")).sort(),
  );
});

describe.each(formats)("%s through the profile %s", (name, profileName, checksumNames) => {
  const vector = images.find((image) => image.name === name) as Vector;
  const profile = publishedProfile(profileName);
  const bytes = wholeImage(vector);
  const unit = describeUnit(rawImage(bytes, profile), profile);
  const facts = measureChecksums(unit);

  it("names its source", () => expect(profile.source.length).toBeGreaterThan(10));

  it("holds every checksum", () => {
    expect(statusesOf(facts)).toEqual(Object.fromEntries(checksumNames.map((checksum) => [checksum, "holds"])));
  });

  it("reads every field, and none is wrong", () => {
    expect(unit.fields.filter(({ status }) => status !== "read").map(({ field }) => field.name)).toEqual([]);
    expect(unit.regions.filter(({ obstacle }) => obstacle)).toEqual([]);
  });

  // What the profile has no field for: bytes without meaning.
  const silent = ["PCIR.signature", "reserved", "CRCrange", "nCRCrange"];
  it.each(vector.fields.filter((field) => !silent.includes(field.name)))("reads $name as published", (field) => {
    const start = profile.memory.base + (field.offset < 0 ? bytes.length + field.offset : field.offset);
    const span = { start, end: start + field.size };
    expect(shownAt(unit, facts, span, field)).toEqual(publishedValues(field));
  });

  it("notices a changed bit wherever a checksum looks, and tells which one", () => {
    for (let at = 0; at < bytes.length; at += bytes.length > 4096 && at > 1024 ? 61 : 1) {
      const changed = bytes.slice();
      changed[at] = (changed[at] as number) ^ (1 << (at % 8));
      const span = { start: profile.memory.base + at, end: profile.memory.base + at + 1 };
      const touched = facts.filter(({ covered, storedAt }) =>
        [...covered, ...(storedAt ? [storedAt] : [])].some((own) => contains(own, span)),
      );
      const after = checksumsOf(changed, profile);
      if (samePlaces(facts, after) && after.every(({ status }) => status !== "absent")) {
        const failing = after.filter(({ status }) => status === "fails").map((checksum) => checksum.name);
        expect(failing, `byte ${at}`).toEqual(touched.map((checksum) => checksum.name));
      } else {
        // A changed length or pointer moves the checksums themselves: then none of those that look there may hold.
        for (const { name } of touched) {
          expect(after.find((checksum) => checksum.name === name)?.status, `byte ${at}, ${name}`).not.toBe("holds");
        }
      }
    }
  });
});

function samePlaces(before: readonly ChecksumFacts[], after: readonly ChecksumFacts[]): boolean {
  const places = (facts: readonly ChecksumFacts[]) =>
    JSON.stringify(facts.map(({ name, covered, storedAt }) => [name, covered, storedAt]));
  return places(before) === places(after);
}

/** Every form in which a report may show the published value. */
function publishedValues({ value, text, hex, size }: VectorField): unknown {
  if (text !== undefined) return expect.stringMatching(new RegExp(`^${text.trimEnd()} *$`));
  if (hex !== undefined) return hex.toLowerCase();
  const number = BigInt(value ?? 0);
  return expect.toSatisfy((shown: string) =>
    [`0x${number.toString(16)}`, number.toString(), number.toString(16).padStart(2 * size, "0")].includes(shown),
  );
}

/** What the profile reads in `span`: a field, or the stored value of a checksum or half of it. */
function shownAt(
  { fields }: Unit,
  facts: readonly ChecksumFacts[],
  span: { readonly start: number; readonly end: number },
  published: VectorField,
): string | undefined {
  const reading = fields.find((field) => "span" in field && field.span.start === span.start);
  if (reading && "shown" in reading) {
    if (reading.field.type !== "unsigned" || !reading.field.bits) return reading.shown;
    const { from, count } = reading.field.bits;
    const wanted = (BigInt(published.value ?? 0) >> BigInt(from)) & ((1n << BigInt(count)) - 1n);
    return reading.number === wanted ? String(published.value) : reading.shown;
  }
  const checksum = facts.find(({ storedAt }) => storedAt && storedAt.start <= span.start && span.start < storedAt.end);
  const offset = span.start - (checksum?.storedAt?.start ?? 0);
  const digits = checksum?.stored?.slice(2 * offset, 2 * (offset + span.end - span.start));
  if (digits !== undefined && published.hex !== undefined) return digits.padEnd(2 * published.size, "0");
  return digits;
}

describe("Android boot images of later versions", () => {
  // Laid out as mkbootimg 29.0.6 (Debian) writes them; the hash is computed by Node.
  const parts = [5000, 3000, 2048, 100, 70].map((length, seed) =>
    Uint8Array.from({ length }, (_, i) => (i * (seed + 3) + (i >> 5)) % 251),
  );
  function bootImage(version: number): Uint8Array {
    const held = parts.slice(0, 3 + version);
    const pages = held.map((part) => Math.ceil(part.length / 2048));
    const image = new Uint8Array(2048 * (1 + pages.reduce((a, b) => a + b, 0)));
    const view = new DataView(image.buffer);
    image.set(new TextEncoder().encode("ANDROID!"));
    for (const [i, offset] of [8, 16, 24, 1632, 1648].entries()) view.setUint32(offset, held[i]?.length ?? 0, true);
    view.setUint32(36, 2048, true);
    view.setUint32(40, version, true);
    image.set(new TextEncoder().encode("example"), 48);
    const hash = createHash("sha1");
    let page = 1;
    for (const [i, part] of held.entries()) {
      image.set(part, 2048 * page);
      page += pages[i] as number;
      hash.update(part).update(Uint8Array.of(part.length % 256, part.length >> 8, 0, 0));
    }
    image.set(hash.digest(), 576);
    return image;
  }

  it.each([0, 1, 2])("of version %d hold", (version) => {
    const facts = checksumsOf(bootImage(version), publishedProfile("android-boot-image"));
    expect(statusesOf(facts)).toEqual({ [`id-${version}`]: "holds" });
    expect(facts[0]?.covered).toHaveLength(2 * (3 + version));
  });
});

describe("the traps of the published formats", () => {
  const statusOf = (hex: string, profile: Profile) => statusesOf(checksumsOf(fromHex(hex), profile));

  it("an SPD with the whole range under its CRC is told by bit 7 of byte 0", () => {
    const vector = images.find(({ name }) => name === "jedec-spd-ddr3") as Vector;
    const profile = publishedProfile("jedec-spd-ddr3");
    const bytes = fromHex(vector.hex);
    bytes[0] = 0x12;
    const [facts] = checksumsOf(bytes, profile);
    expect(facts).toMatchObject({ status: "fails", covered: [{ start: 0, end: 126 }] });
    bytes.set(fromHex(facts?.computed ?? "").reverse(), 126);
    expect(statusOf(toHex(bytes), profile)).toEqual({ parameters: "holds" });
  });

  it("a header of zeros gives E7 in a Game Boy cartridge", () => {
    const rom = new Uint8Array(32 * 1024);
    expect(checksumsOf(rom, publishedProfile("game-boy"))[0]?.computed).toBeUndefined();
    rom[0x14d] = 0x01; // so that it is not blank
    expect(checksumsOf(rom, publishedProfile("game-boy"))[0]).toMatchObject({ status: "fails", computed: "e7" });
  });

  it("an ACPI 1.0 root pointer has no extended checksum", () => {
    const vector = images.find(({ name }) => name === "acpi-rsdp-2") as Vector;
    const bytes = fromHex(vector.hex).slice(0, 20);
    bytes[8] = (bytes[8] as number) + (bytes[15] as number);
    bytes[15] = 0;
    expect(statusOf(toHex(bytes), publishedProfile("acpi-root-pointer"))).toEqual({ first: "holds" });
  });
});
