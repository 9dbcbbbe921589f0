import { describe, expect, it } from "vitest";
import { Refusal } from "../../src/findings/refusal.js";
import { askCheck } from "../../src/questions/check.js";
import { askVote } from "../../src/questions/vote.js";
import { reportSchema } from "../../src/report/schema.js";
import { fileAt, fileOf, profileAt } from "./files.js";

// The invented workboat: what each file was made to show stands in test-vectors/README.md.
const profile = profileAt("workboat/profile.json");
const again = fileAt("read-1", "workboat/port-read-2.bin.gz");
const port = fileAt("read-2", "workboat/port.hex.gz");
const wrongBits = fileAt("read-3", "workboat/port-read-3.bin.gz");
const good = again.decoded.image.read({ start: 0, end: 0x40000 }) as Uint8Array;

const vote = (...reads: ReturnType<typeof fileOf>[]) => {
  const { report, image } = askVote({ reads, profile, version: "0.0.0" });
  expect(reportSchema.parse(report)).toEqual(report);
  return { report, image, codes: report.findings.map(({ code }) => code) };
};
const changed = (role: string, change: (bytes: Uint8Array) => void) => {
  const bytes = good.slice();
  change(bytes);
  return fileOf(role, bytes);
};

describe("a vote", () => {
  it("is clear when checksums of the voted image hold wherever the reads differ", () => {
    const { report, image, codes } = vote(again, port, wrongBits);
    expect(report.verdict).toBe("clear");
    expect(image.read({ start: 0, end: 0x40000 })).toEqual(good);
    expect(codes).toEqual(["soundness/vote-taken", "checksum/order-unseen"]);
    expect(report.findings[0]?.detail).toContain("7 bytes that differ among 3 reads were settled");
  });

  it("alone turns no stop into clear: the same reads without it stop", () => {
    expect(askCheck({ reads: [again, port, wrongBits], profile, version: "0.0.0" }).verdict).toBe("stop");
  });

  it("stops where no checksum covers what the reads differ in, though a majority settles it", () => {
    // The mark at the end of the part is in no checksum's range.
    const other = changed("read-3", (bytes) => bytes.fill(0x20, 0x3fff0, 0x3fff8));
    const { report, codes, image } = vote(again, fileOf("read-2", good), other);
    expect(report.verdict).toBe("stop");
    expect(codes).toContain("soundness/reads-differ");
    expect(image.read({ start: 0, end: 0x40000 })).toEqual(good);
  });

  it("stops where a checksum holds in both of two contents: it decides nothing between them", () => {
    // Two words of the bank change places, and the sum over it stays.
    const exchanged = (role: string, learnt: number) =>
      changed(role, (bytes) => {
        const [one, other] = [bytes.slice(0x38410, 0x38412), bytes.slice(0x38420, 0x38422)];
        bytes.set(other, 0x38410);
        bytes.set(one, 0x38420);
        bytes[0x3a000] = learnt;
      });
    const { report, codes } = vote(again, exchanged("read-2", 1), exchanged("read-3", 2));
    expect(report.verdict).toBe("stop");
    expect(codes).toContain("soundness/reads-differ");
  });

  it("takes what a unit writes by itself from the read that is nearest to the rest", () => {
    const odd = changed("read-1", (bytes) => {
      bytes[0x4bb5] = (bytes[0x4bb5] as number) ^ 1;
      bytes.fill(0x77, 0x3a000, 0x3a010);
    });
    const { image, report } = vote(
      odd,
      fileOf("read-2", good),
      changed("read-3", (bytes) => bytes.fill(0x11, 0x3a000, 0x3a010)),
    );
    expect(report.verdict).toBe("clear");
    expect(image.read({ start: 0x3a000, end: 0x3a010 })).toEqual(good.slice(0x3a000, 0x3a010));
  });

  it("stops when the majority is wrong: the checksum of the voted image fails", () => {
    const wrong = (role: string) =>
      changed(role, (bytes) => {
        bytes[0x4bb5] = (bytes[0x4bb5] as number) ^ 1;
      });
    const { report, codes } = vote(again, wrong("read-2"), wrong("read-3"));
    expect(report.verdict).toBe("stop");
    expect(codes).toContain("checksum/mismatch");
  });

  it("makes nothing up: what has no majority is a hole, and is counted", () => {
    const with_ = (role: string, value: number) => changed(role, (bytes) => bytes.fill(value, 0x4bb5, 0x4bb8));
    const { image, report } = vote(with_("read-1", 1), with_("read-2", 2), with_("read-3", 3));
    expect(image.byteAt(0x4bb5)).toBeUndefined();
    expect(image.length).toBe(0x40000 - 3);
    expect(report.findings.find(({ code }) => code === "soundness/vote-open")?.detail).toMatch(
      /^3 bytes have no majority/,
    );
    expect(report.verdict).toBe("stop");
  });

  it("takes what one read alone knows from nobody", () => {
    const short = (role: string) => fileOf(role, good.slice(0, 0x20000));
    const { image } = vote(again, short("read-2"), short("read-3"));
    expect(image.read({ start: 0x20000, end: 0x20100 })).toBeUndefined();
  });

  it("is refused for fewer than three reads", () => {
    expect(() => vote(again, port)).toThrow(Refusal);
  });

  it("leaves a review without a profile, for nothing confirms it", () => {
    const { report } = askVote({ reads: [again, fileOf("read-2", good), wrongBits], version: "0.0.0" });
    expect(report.verdict).toBe("review");
  });
});
