import { describe, expect, it } from "vitest";
import { Anchors } from "../../src/unit/anchor.js";
import { obstacleText } from "../../src/unit/words.js";
import { imageOf } from "./unit-of.js";

const text = (wanted: string, within?: { start: number; length: number }) => ({ text: wanted, within });

describe("the anchors of an image", () => {
  it("are each looked for once, however often a profile names them", () => {
    const anchors = new Anchors(imageOf("..HEAD..TAIL", 100));
    for (let i = 0; i < 3; i++) expect(anchors.endOf(text("HEAD"))).toEqual({ value: 106 });
    expect(anchors.searched).toBe(12);
    expect(anchors.endOf({ hex: "48454144" })).toEqual({ value: 106 });
    expect(anchors.endOf(text("TAIL", { start: 106, length: 6 }))).toEqual({ value: 112 });
    expect(anchors.endOf(text("TAIL", { start: 106, length: 5 }))).toMatchObject({
      obstacle: { kind: "anchor-missing" },
    });
    expect(anchors.searched).toBe(12 + 12 + 6 + 5);
  });

  it("are not looked for any more when there are too many for the image", () => {
    const anchors = new Anchors(imageOf(new Uint8Array(8 * 1024 * 1024)));
    const found = Array.from({ length: 120 }, (_, i) => anchors.endOf(text(`anchor ${i}`)));
    // 256 MiB and 64 times the image, over 8 MiB each.
    const looked = found.filter(({ obstacle }) => obstacle?.kind === "anchor-missing");
    expect(looked).toHaveLength(96);
    const obstacle = found[96]?.obstacle;
    expect(obstacle && obstacleText(obstacle)).toMatch(
      /^the text "anchor 96" that it stands behind was not looked for/,
    );
    expect(anchors.endOf(text("anchor 0"))).toEqual(found[0]);
  });
});
