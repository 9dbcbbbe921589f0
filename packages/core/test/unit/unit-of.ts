import { Image } from "../../src/image/image.js";
import { loadProfile } from "../../src/profile/load.js";
import { describeUnit, fieldNamed, type Unit } from "../../src/unit/unit.js";

/** A profile of a small invented memory with these parts, and one region over all of it where none are given. */
export function profileOf(parts: object): ReturnType<typeof loadProfile> {
  return loadProfile(
    JSON.stringify({
      profile: "assay.profile/1",
      id: "invented",
      title: "Invented unit",
      source: "invented",
      memory: {},
      regions: [{ name: "all", role: "program", over: [{ start: 0, length: "64K" }] }],
      ...parts,
    }),
  );
}

/** The image of these bytes from `address` on. Text is taken one byte a character. */
export function imageOf(content: string | readonly number[] | Uint8Array, address = 0): Image {
  const bytes = typeof content === "string" ? [...content].map((c) => c.charCodeAt(0)) : content;
  return Image.of([{ address, bytes: Uint8Array.from(bytes) }]);
}

/** What the field `name` reads as, in one line: its value, or why there is none. */
export function read(unit: Unit, name: string): string {
  const reading = fieldNamed(unit, name);
  if (!reading) throw new Error(`expected a field ${name}`);
  switch (reading.status) {
    case "read":
      return reading.shown;
    case "wrong":
      return `${reading.shown} (${reading.fault})`;
    case "unplaced":
      return `(${reading.obstacle.kind})`;
    default:
      return `(${reading.status})`;
  }
}

/** The one field of a profile, as `content` holds it. */
export function readOne(field: object, content: string | readonly number[] | Uint8Array, memory: object = {}): string {
  const profile = profileOf({ memory, fields: [{ name: "it", at: 0, ...field }] });
  return read(describeUnit(imageOf(content), profile), "it");
}
