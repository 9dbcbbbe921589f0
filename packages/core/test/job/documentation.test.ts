import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { calibrationIdentification, correspondences } from "../../src/identity/correspondence.js";
import { dataIdentifierText } from "../../src/job/data-identifiers.js";
import { loadJobSheet } from "../../src/job/load.js";
import { labelMeanings } from "../../src/job/schema.js";
import { readProfile } from "../../src/profile/load.js";
import { baseProfile } from "../profile/base-profile.js";

const page = readFileSync(new URL("../../docs/job-sheet.md", import.meta.url), "utf8");
const examples = [...page.matchAll(/```json\n(.*?)```/gs)].map((match) => match[1] as string);

describe("the page on job sheets", () => {
  it("shows a sheet that is read", () => {
    expect(loadJobSheet(examples[0] as string).machine?.number).toBe("WB-HULL-00017");
  });

  it("shows parts of a profile that have its shape", () => {
    expect(examples).toHaveLength(3);
    const digest = "0123456789abcdef".repeat(4);
    for (const example of examples.slice(1)) {
      const parts = JSON.parse(example.replaceAll("(64 digits)", digest)) as object;
      const { problems } = readProfile(JSON.stringify({ ...baseProfile, ...parts }));
      // Only the names of the example are not those of the small profile.
      for (const { message } of problems) expect(message).toMatch(/^expected the name of a (region|field|checksum)/);
    }
  });

  it("has the table of answers and meanings as it is", () => {
    const rows = [...page.matchAll(/^\| (.+?) \| `([a-z-]+)` \| (same|open) \|$/gm)].map(
      ([, answer, meaning, certainty]) => `${answer?.replace(/[, ]+\(?service 09.*$/, "")} ${meaning} ${certainty}`,
    );
    expect(rows).toEqual(
      correspondences.map(({ identifier, meaning, certainty }) => {
        const answer =
          identifier === calibrationIdentification ? "calibration identification" : dataIdentifierText(identifier);
        return `${answer} ${meaning} ${certainty}`;
      }),
    );
  });

  it("names every meaning that a label may state", () => {
    for (const meaning of labelMeanings) expect(page).toContain(`\`${meaning}\``);
  });
});
