import { Image } from "../../src/image/image.js";
import { loadJobSheet } from "../../src/job/load.js";
import { type Outside, outsideOfUnit } from "../../src/job/outside.js";
import { loadProfile } from "../../src/profile/load.js";
import { describeUnit, type Unit } from "../../src/unit/unit.js";

/** An invented unit of 4 KiB whose fields stand 16 bytes apart, from address 0 on. */
export const fieldLength = 16;

/** A field of text, and what it holds; `undefined` holds erased memory. */
export interface Content {
  readonly name: string;
  readonly holds: string | undefined;
  readonly type?: string;
  readonly [key: string]: unknown;
}

/** The unit that holds these fields, seen through a profile with these and with `parts`. */
export function smallUnit(contents: readonly Content[], parts: object = {}): Unit {
  const bytes = new Uint8Array(4096).fill(0xff);
  const fields = contents.map(({ holds, ...field }, i) => {
    const at = fieldLength * i;
    if (holds !== undefined) {
      bytes.fill(0, at, at + fieldLength);
      for (let j = 0; j < holds.length; j++) bytes[at + j] = holds.charCodeAt(j);
    }
    return {
      type: "text",
      at,
      length: fieldLength,
      ...(field.type === "unsigned" ? {} : { padding: "00" }),
      ...field,
    };
  });
  const profile = loadProfile(
    JSON.stringify({
      profile: "assay.profile/1",
      id: "invented",
      title: "Invented unit",
      source: "invented",
      memory: { size: "4K", erased: 255 },
      regions: [
        { name: "head", role: "identity", over: [{ start: 0, length: "1K" }] },
        { name: "program", role: "program", over: [{ start: "1K", length: "2K" }] },
        { name: "data", role: "calibration", over: [{ start: "3K", length: "1K" }] },
      ],
      fields,
      ...parts,
    }),
  );
  return describeUnit(Image.of([{ address: 0, bytes }]), profile);
}

/** What a job sheet of one unit says. */
export function outside(unit: object, machine?: object): Outside {
  const sheet = loadJobSheet(JSON.stringify({ job: "assay.job/1", units: [unit], ...(machine && { machine }) }));
  return outsideOfUnit(sheet) as Outside;
}
