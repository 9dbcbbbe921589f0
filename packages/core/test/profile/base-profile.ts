/** A small profile that holds together, to be changed in one place by each test. Invented. */
export const baseProfile = {
  profile: "assay.profile/1",
  id: "invented-64k",
  title: "Invented unit",
  source: "invented",
  memory: { size: "64K" },
  regions: [
    { name: "program", role: "program", over: [{ start: 0, length: "32K" }] },
    { name: "data", role: "calibration", over: [{ start: "32K", end: "64K" }] },
  ],
  fields: [
    { name: "number", type: "text", at: 16, length: 8 },
    { name: "size", type: "unsigned", at: 32, length: 2, order: "big" },
    { name: "mark", type: "hex", at: 40, length: 2 },
  ],
  checksums: [
    {
      name: "sum",
      algorithm: "CRC-32/ISO-HDLC",
      over: [{ region: "program" }],
      stored: { at: 100, form: "whole-comes-to-constant" },
    },
  ],
  pair: {
    sides: { left: "port", right: "starboard", field: "number", values: { port: "P", starboard: "S" } },
    rules: [{ name: "own", rule: "free", why: "invented", over: [{ field: "number" }] }],
  },
};

/** The text of the base profile with another value at `path` (`regions.0.name`), or without it. */
export function profileWith(path: string, value: unknown, base: object = baseProfile): string {
  const copy = structuredClone(base) as Record<string, unknown>;
  const keys = path.split(".");
  let holder = copy;
  for (const key of keys.slice(0, -1)) holder = holder[key] as Record<string, unknown>;
  const last = keys.at(-1) as string;
  if (value === undefined) delete holder[last];
  else holder[last] = value;
  return JSON.stringify(copy, null, 1);
}
