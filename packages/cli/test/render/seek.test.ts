import type { FoundChecksum, SeekResult } from "@assay/core";
import { describe, expect, it } from "vitest";
import { renderSeek } from "../../src/render/seek.js";

const searched = { bytes: 4096, images: 2, algorithms: 130, hypotheses: 1e9, complete: true };

function shown(stored: Partial<FoundChecksum["stored"]>): string {
  const one: FoundChecksum = {
    algorithm: "xor32-be",
    ranges: [{ start: 0x400, length: 0x400 }],
    stored: { start: 0x7fc, width: 32, order: "big", form: "whole-comes-to-constant", place: "told", ...stored },
    certainty: "certain",
    expectedByChance: 1e-9,
    readsToSettle: 0,
  };
  const result: SeekResult = { searched: { ...searched, tasks: { done: 1, planned: 1 } }, found: [one] };
  return renderSeek(result, 200)
    .map((line) =>
      typeof line === "string" ? line : line.map((part) => (typeof part === "string" ? part : part.text)).join(""),
    )
    .join("\n");
}

describe("what seek shows of the place of a value", () => {
  it("is the address when it is told, and no advice", () => {
    const text = shown({ form: "value" });
    expect(text).toContain("0x000007FC");
    expect(text).not.toContain("not told");
  });

  it("is every place that it can be when these are few", () => {
    const text = shown({ place: "not-told", possible: { count: 2, at: [0x400, 0x7fc] } });
    expect(text).toContain("not told: 0x00000400 or 0x000007FC");
    expect(text).toContain("confirm the place before a value is written there");
  });

  it("is how many there are, and the likeliest, when they are many", () => {
    const text = shown({ place: "not-told", possible: { count: 256 } });
    expect(text).toContain("not told: 256 words of the range may be it, perhaps 0x000007FC");
  });
});
