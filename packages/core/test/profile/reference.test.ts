import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { readProfile } from "../../src/profile/load.js";
import { storedForms } from "../../src/profile/schema/checksum.js";
import { belongings, meanings } from "../../src/profile/schema/field.js";
import { roles } from "../../src/profile/schema/region.js";

const text = readFileSync(new URL("../../docs/profile.md", import.meta.url), "utf8");
const examples = [...text.matchAll(/```json\n([\s\S]*?)```/g)].map(([, json = ""]) => json);

describe("the reference of the profile language", () => {
  it("has examples", () => expect(examples.length).toBeGreaterThan(3));

  it.each(examples)("shows what can be read: %s", (json) => {
    const whole = JSON.parse(examples[0] as string) as object;
    const problems = readProfile(JSON.stringify({ ...whole, ...(JSON.parse(json) as object) })).problems;
    expect(problems).toEqual([]);
  });

  it("names every role, meaning, belonging and form", () => {
    for (const word of [...roles, ...meanings, ...belongings, ...storedForms]) expect(text).toContain(`\`${word}\``);
  });
});
