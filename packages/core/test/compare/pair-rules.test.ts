import { describe, expect, it } from "vitest";
import { comparePair } from "../../src/compare/pair.js";
import { describeUnit } from "../../src/unit/unit.js";
import { content, imageOf, profileWith } from "../checksums/measured.js";

// Invented: two units whose first byte says where a table lies. What a rule must say follows from its own words in
// docs/profile.md.
const at = { field: "pointer" };
const pointer = {
  name: "pointer",
  rule: "free",
  over: [{ field: "pointer" }],
  why: "the tables lie where there is room",
};
const compared = (rule: object, left: Uint8Array, right: Uint8Array) => {
  const profile = profileWith([], {
    fields: [{ name: "pointer", type: "unsigned", at: 0, length: 1 }],
    pair: { sides: { left: "port", right: "starboard" }, rules: [pointer, { name: "rule", why: "invented", ...rule }] },
  });
  return comparePair(describeUnit(imageOf(left), profile), describeUnit(imageOf(right), profile), []);
};
const unit = (pointsTo: number, change: (bytes: Uint8Array) => void = () => {}) => {
  const bytes = content(128);
  bytes[0] = pointsTo;
  change(bytes);
  return bytes;
};

describe("a rule whose places lie elsewhere in the other unit", () => {
  it("exchanges nothing: what lies at the place of one unit alone stays unexplained", () => {
    const rule = { rule: "exchanged", over: [{ start: 16, length: 8 }], with: [{ start: at, length: 8 }] };
    // The right unit's place holds what the left one's would have to, and the left one's place is not looked at.
    const spare = (bytes: Uint8Array) => bytes.copyWithin(64, 16, 24);
    const left = unit(32, spare);
    const right = unit(64, (bytes) => {
      spare(bytes);
      bytes.set(left.subarray(32, 40), 16);
      bytes[33] = 255 - (left[33] as number);
    });
    const { rules, regions } = compared(rule, left, right);
    expect(rules[1]).toMatchObject({ status: "untold", reason: "it lies at different places in the two units" });
    expect(regions).toMatchObject([{ region: "all", first: [{ start: 33, end: 34 }] }]);
  });

  it("excuses no difference where it asks for the same", () => {
    const rule = { rule: "same", over: [{ start: at, length: 8 }] };
    const right = unit(64, (bytes) => {
      bytes[33] = 255 - (bytes[33] as number);
    });
    const { rules, regions } = compared(rule, unit(32), right);
    expect(rules[1]?.status).toBe("untold");
    expect(regions).toMatchObject([{ region: "all", bytes: 1, first: [{ start: 33, end: 34 }] }]);
  });
});

describe("a rule that asks for the same", () => {
  const same = { name: "same", rule: "same", over: [{ start: 40, length: 8 }] };
  const right = unit(0, (bytes) => {
    bytes[44] = 255 - (bytes[44] as number);
    bytes[60] = 255 - (bytes[60] as number);
  });
  it.each(["free", "distinct"])("holds in the midst of a place that a rule leaves %s, wherever it stands", (rule) => {
    const lax = { name: "lax", rule, over: [{ start: 32, length: 64 }], why: "invented" };
    const profileOf = (rules: object[]) => profileWith([], { pair: { rules } });
    for (const rules of [
      [same, lax],
      [lax, same],
    ]) {
      const [left, other] = [unit(0), right].map((bytes) => describeUnit(imageOf(bytes), profileOf(rules)));
      if (!left || !other) throw new Error("expected two units");
      expect(comparePair(left, other, []).regions).toMatchObject([{ region: "all", first: [{ start: 44, end: 45 }] }]);
    }
  });
});

describe("a rule that asks for distinct values", () => {
  const statusOf = (over: readonly object[], change: (bytes: Uint8Array) => void) => {
    const { rules } = compared({ rule: "distinct", over }, unit(2), unit(2, change));
    return rules[1];
  };
  const serial = { start: 16, length: 4 };
  const key = { start: 32, length: 4 };
  const other = (at: number) => (bytes: Uint8Array) => {
    bytes[at] = 255 - (bytes[at] as number);
  };

  it("asks it of each range", () => {
    expect(statusOf([serial], other(17))?.status).toBe("holds");
    expect(statusOf([serial, key], other(17))).toMatchObject({ status: "broken", at: { start: 32, end: 36 } });
    expect(statusOf([serial, key], other(33))).toMatchObject({ status: "broken", at: { start: 16, end: 20 } });
    const both = (bytes: Uint8Array) => {
      for (const at of [17, 33]) other(at)(bytes);
    };
    expect(statusOf([serial, key], both)?.status).toBe("holds");
  });

  it("says nothing of no byte", () => {
    const none = { start: 16, length: { field: "pointer", plus: -2 } };
    expect(statusOf([none], other(17))).toMatchObject({ status: "untold", reason: "it holds no byte" });
    expect(statusOf([none, serial], other(17))?.status).toBe("holds");
  });
});
