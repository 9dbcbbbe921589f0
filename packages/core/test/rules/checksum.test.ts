import { describe, expect, it } from "vitest";
import { coverageOf } from "../../src/checksums/coverage.js";
import { measureChecksums } from "../../src/checksums/measure.js";
import { recomputeChecksums } from "../../src/checksums/recompute.js";
import { entryOf, type Finding } from "../../src/findings/catalogue.js";
import { checksumRules } from "../../src/rules/checksum.js";
import { ask } from "../../src/rules/rule.js";
import { describeUnit } from "../../src/unit/unit.js";
import { content, imageOf, profileWith } from "../checksums/measured.js";

const regions = [
  { name: "program", role: "program", over: [{ start: 0, length: 64 }] },
  { name: "number", role: "identity", over: [{ start: 64, length: 36 }] },
];
const program = { algorithm: "sum8", over: [{ region: "program" }], stored: { at: 99 } };

/** What both rules say of these bytes: outcome and findings, in the order of the rules. */
function answers(checksums: readonly object[], bytes: Uint8Array, more: object = {}) {
  const profile = profileWith(checksums, { regions, ...more });
  const unit = describeUnit(imageOf(bytes), profile);
  const facts = measureChecksums(unit);
  const question = {
    declared: profile.checksums.length,
    checksums: facts,
    coverage: coverageOf(unit, facts),
    regions: unit.regions,
  };
  return ask(checksumRules, "unit", question).map(({ judgement }) => ({
    outcome: judgement.outcome,
    findings: judgement.outcome === "not-applicable" ? [] : (judgement.findings ?? []),
  }));
}

function sound(checksums: readonly object[]): Uint8Array {
  const { image } = recomputeChecksums(imageOf(content(100)), profileWith(checksums, { regions }));
  return image.read({ start: 0, end: 100 }) as Uint8Array;
}

const says = (finding: Finding | undefined) => finding && entryOf(finding).says(finding.facts);
const codes = (findings: readonly Finding[]) => findings.map(({ code }) => code);

it("the rules have the names by which they are known", () => {
  expect(checksumRules.map(({ id }) => id)).toEqual(["checksum/stored-values-hold", "checksum/cover-what-matters"]);
});

describe("stored values", () => {
  it("pass when they hold, and it is told that a sum sees no order", () => {
    const [holds, cover] = answers([program], sound([program]));
    expect(holds).toEqual({ outcome: "pass", findings: [] });
    expect(cover).toMatchObject({ outcome: "pass", findings: [{ code: "checksum/order-unseen" }] });
    expect(says(cover?.findings[0])).toBe(
      "of program a part is covered by nothing but sums, which can come out the same when bytes change places",
    );
  });

  it("leave no order unseen where a CRC looks", () => {
    const checked = { ...program, algorithm: "CRC-16/XMODEM", stored: { at: 98, bytes: 2 } };
    const [holds, cover] = answers([checked], sound([checked]));
    expect(holds?.outcome).toBe("pass");
    expect(cover?.findings.map(({ code }) => code)).not.toContain("checksum/order-unseen");
  });

  it("fail when one does not, with the place and both values", () => {
    const bytes = sound([program]).slice();
    bytes[5] = (bytes[5] as number) ^ 0x80;
    const [holds, cover] = answers([program], bytes);
    expect(holds?.outcome).toBe("fail");
    expect(holds?.findings).toMatchObject([
      {
        code: "checksum/mismatch",
        facts: { checksum: "check-a", algorithm: "sum8", bytes: 64, within: { start: 0, end: 64 } },
        where: [{ span: { start: 99, end: 100 }, region: "number" }],
      },
    ]);
    expect(says(holds?.findings[0])).toMatch(
      /^check-a \(sum8 over 64 bytes within 0x00000000\.\.0x00000040\) stores [0-9a-f]{2}; [0-9a-f]{2} would hold$/,
    );
    expect(cover).toMatchObject({ outcome: "unknown", findings: [{ code: "checksum/uncovered" }] });
  });

  it("are told by what the whole comes to where nothing else can be told", () => {
    const whole = {
      algorithm: "SHA-1",
      over: [{ region: "program" }],
      stored: { at: 8, form: "whole-comes-to-constant" },
    };
    const finding = answers([whole], content(100))[0]?.findings[0];
    expect(says(finding)).toMatch(/, so the whole comes to [0-9a-f]{40} and not to 0{40}$/);
    expect(finding && entryOf(finding).expected?.(finding.facts)).toBe(`a whole that comes to ${"0".repeat(40)}`);
    expect(finding && entryOf(finding).found?.(finding.facts)).toMatch(/^[0-9a-f]{40}$/);
  });

  it("are unknown when one cannot be computed, or stands over blank memory", () => {
    const bytes = sound([program]).slice();
    bytes.fill(0, 64, 99);
    const blank = { algorithm: "sum8", over: [{ start: 64, length: 8 }], stored: { at: 72 } };
    const far = { algorithm: "sum8", over: [{ start: 90, length: 20 }], stored: { at: 80 } };
    const [holds] = answers([program, blank, far], bytes);
    expect(holds?.outcome).toBe("unknown");
    expect(codes(holds?.findings ?? [])).toEqual(["checksum/blank", "checksum/not-computable"]);
    expect(holds?.findings.map(says)).toEqual([
      "the 8 bytes that check-b covers and its stored value all read 0x00",
      "check-c (sum8) could not be checked: 10 bytes that it covers are not known, the first at 0x00000064",
    ]);
    expect(holds?.findings[0]?.where).toEqual([{ span: { start: 64, end: 72 }, region: "number" }]);
  });

  it("are unknown when there are none, and when none applies", () => {
    const fields = [{ name: "kind", type: "unsigned", at: 0, length: 1 }];
    const never = { ...program, when: { field: "kind", is: 1 } };
    expect(answers([], content(100))).toMatchObject([
      { outcome: "unknown", findings: [{ code: "checksum/undeclared" }] },
      { outcome: "not-applicable" },
    ]);
    expect(answers([never], new Uint8Array(100), { fields })).toMatchObject([
      { outcome: "unknown", findings: [{ code: "checksum/inapplicable", facts: { declared: 1 } }] },
      { outcome: "not-applicable" },
    ]);
  });

  it("are told one by one up to a number, the rest in one finding", () => {
    const many = { algorithm: "CRC-32/ISO-HDLC", over: [{ start: 0, length: 4 }], stored: { at: 4 } };
    const failing = answers([{ ...many, repeat: { count: 90, every: 1 } }], content(100))[0]?.findings ?? [];
    expect(failing).toHaveLength(65);
    expect(failing.at(-1)).toMatchObject({ code: "checksum/further-mismatches", facts: { count: 26 } });
    const blank = answers([{ ...many, repeat: { count: 90, every: 1 } }], new Uint8Array(100))[0]?.findings ?? [];
    expect(blank).toHaveLength(65);
    expect(blank.at(-1)).toMatchObject({ code: "checksum/further-unchecked", facts: { count: 26 } });
  });
});

describe("what matters", () => {
  it("is uncovered where no checksum that holds looks", () => {
    const part = { ...program, over: [{ start: 0, length: 60 }] };
    const [, cover] = answers([part], sound([part]));
    expect(cover).toMatchObject({
      outcome: "unknown",
      findings: [
        {
          code: "checksum/uncovered",
          facts: { region: "program", role: "program", bytes: 4, of: 64, first: 60 },
          where: [{ span: { start: 60, end: 64 }, region: "program" }],
        },
        { code: "checksum/order-unseen" },
      ],
    });
    expect(says(cover?.findings[0])).toBe(
      "no checksum that holds covers 4 of the 64 bytes of region program (program), the first at 0x0000003C",
    );
  });
});
