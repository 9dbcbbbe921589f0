import { describe, expect, it } from "vitest";
import { contains } from "../../src/bytes/span.js";
import { coverageOf } from "../../src/checksums/coverage.js";
import { measureChecksums } from "../../src/checksums/measure.js";
import { describeUnit, fieldNamed, type Unit } from "../../src/unit/unit.js";
import { checksumsOf, publishedProfile, rawImage, realImage, statusesOf, withRealImages } from "./published.js";

/** The fields' values as a report shows them. */
function shownIn(unit: Unit, names: readonly string[]): (string | undefined)[] {
  return names.map((name) => {
    const reading = fieldNamed(unit, name);
    return reading && "shown" in reading ? reading.shown : undefined;
  });
}

/**
 * Applications of npm particle-cli 3.51.0 (Apache-2.0): version, platform, function, needed function, index and version,
 * bytes of the suffix, and the stored CRC, as read by od and dd. The layout is that of binary-version-reader 3.1.3.
 */
const modules: readonly (readonly [path: string, values: string, crc: string])[] = [
  ["argon/tinker/tinker-0.8.0-rc.27-argon", "5 12 5 4 1 326 40", "a0bf7c8d"],
  ["b5som/tinker/tinker-1.5.0-b5som", "6 25 5 4 1 1502 40", "1568e7a6"],
  ["boron/tinker/tinker-0.8.0-rc.27-boron", "5 13 5 4 1 326 40", "c13d1492"],
  ["bsom/tinker/tinker-1.1.0-rc.1-bsom", "6 23 5 4 1 1100 40", "b2f08701"],
  ["core/tinker/core_tinker", "207 0 3 0 0 0 40", "4d1c66cd"],
  ["electron/tinker/electron_tinker", "3 10 5 4 2 10 40", "b3934494"],
  ["electron/tinker-usb-debugging/tinker-usb-debugging-0.6.0-electron", "4 10 5 4 2 102 40", "18773703"],
  ["esomx/tinker/tinker-6.3.4-esomx", "6 15 5 4 1 6305 40", "f7393f40"],
  ["msom/tinker/tinker-6.3.4-msom", "6 35 5 4 1 6305 62", "09988229"],
  ["p1/tinker/tinker-0.4.5-p1", "3 8 5 4 2 6 40", "70e7c48c"],
  ["p2/tinker/tinker-5.0.0-p2", "6 32 5 4 1 5002 62", "64b13aa8"],
  ["photon/tinker/tinker-0.4.5-photon", "3 6 5 4 2 6 40", "4a738441"],
  ["tracker/tinker/tracker-tinker@1.5.4-rc.1", "6 26 5 4 1 1514 40", "d4c6c559"],
  ["trackerm/tinker/tinker-5.8.0-trackerm", "6 28 5 4 1 5800 62", "f2e428be"],
  ["xenon/tinker/tinker-0.8.0-rc.27-xenon", "5 14 5 4 1 326 40", "66df5f79"],
];

describe.runIf(withRealImages).each(modules)("the device module %s", (path, values, crc) => {
  const profile = publishedProfile("particle-module");
  const bytes = () => realImage(`npm/particle-cli-3.51.0/package/assets/knownApps/${path}.bin`);

  it("tells what it is, and holds its hash and its CRC over all of it", () => {
    const unit = describeUnit(rawImage(bytes(), profile), profile);
    const names = [
      "moduleVersion",
      "platform",
      "moduleFunction",
      "neededFunction",
      "neededIndex",
      "neededVersion",
      "suffixSize",
    ];
    expect(shownIn(unit, names).join(" ")).toBe(values);
    expect(unit.fields.filter(({ status }) => status !== "read")).toEqual([]);
    const facts = measureChecksums(unit);
    expect(statusesOf(facts)).toEqual({ hash: "holds", module: "holds" });
    expect(facts[1]?.stored).toBe(crc);
    expect(coverageOf(unit, facts)).toMatchObject({ checksummed: 1, described: 1, uncovered: [] });
  });

  it("fails them where a bit is changed", () => {
    const sound = bytes();
    const before = checksumsOf(sound, profile);
    const step = Math.ceil(sound.length / 40);
    for (let at = 300; at < sound.length; at += step) {
      if (at >= sound.length - 6 && at < sound.length - 4) continue; // the suffix's own size: it moves the regions
      const changed = sound.slice();
      changed[at] = (changed[at] as number) ^ (1 << (at % 8));
      const touched = before.filter(({ covered, storedAt }) =>
        [...covered, ...(storedAt ? [storedAt] : [])].some((span) => contains(span, { start: at, end: at + 1 })),
      );
      const failing = checksumsOf(changed, profile).filter(({ status }) => status === "fails");
      expect(
        failing.map(({ name }) => name),
        `byte ${at}`,
      ).toEqual(touched.map(({ name }) => name));
    }
  });

  it("cannot be checked where it was cut short", () => {
    const sound = bytes();
    const cut = checksumsOf(sound.subarray(0, sound.length - 64), profile);
    expect(statusesOf(cut)).toEqual({ hash: "absent", module: "absent" });
  });
});

/** Main ROMs of Debian cbios 0.28-1.1 and 0.29a-1.1 (BSD-2-Clause): the identification bytes 2Bh to 2Dh, as read by od. */
const roms: readonly (readonly [version: string, name: string, bytes: string])[] = [
  ["0.28", "msx1", "a1 02 00"],
  ["0.28", "msx1_br", "21 02 00"],
  ["0.28", "msx1_jp", "00 00 00"],
  ["0.28", "msx2", "a1 02 01"],
  ["0.28", "msx2_br", "21 02 01"],
  ["0.28", "msx2_jp", "00 00 01"],
  ["0.28", "msx2+", "a1 02 02"],
  ["0.28", "msx2+_br", "21 02 02"],
  ["0.28", "msx2+_jp", "00 00 02"],
  ["0.29", "msx1", "21 02 00"],
  ["0.29", "msx1_eu", "a1 02 00"],
  ["0.29", "msx1_jp", "00 00 00"],
  ["0.29", "msx2_eu", "a1 02 01"],
  ["0.29", "msx2+_br", "21 02 02"],
];

describe.runIf(withRealImages).each(roms)("the main ROM of C-BIOS %s for %s", (version, name, identification) => {
  const profile = publishedProfile("c-bios-main");
  const folder = version === "0.28" ? "cbios_0.28-1.1" : "cbios_0.29a-1.1";

  it("tells what it is, and has no checksum", () => {
    const unit = describeUnit(
      rawImage(realImage(`deb/${folder}/usr/share/cbios/cbios_main_${name}.rom`), profile),
      profile,
    );
    const [character, keyboard, generation] = identification.split(" ").map((text) => Number.parseInt(text, 16)) as [
      number,
      number,
      number,
    ];
    const names = ["version", "characterSet", "dateFormat", "fiftyHertz", "keyboard", "basic", "generation"];
    const bits = [character % 16, (character >> 4) % 8, character >> 7, keyboard % 16, keyboard >> 4, generation];
    expect(shownIn(unit, names)).toEqual([version, ...bits.map(String)]);
    expect(unit.fields.filter(({ status }) => status !== "read")).toEqual([]);
    expect(measureChecksums(unit)).toEqual([]);
  });
});
