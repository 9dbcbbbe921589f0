import { describe, expect, it } from "vitest";
import { catalogue, type Finding, type FindingCode } from "../../src/findings/catalogue.js";
import type { Check, Judgement } from "../../src/rules/rule.js";
import { severityOf, verdictOf } from "../../src/verdict/verdict.js";

const codeOf = (severity: string) =>
  Object.entries(catalogue).find(([, entry]) => entry.severity === severity)?.[0] as FindingCode;
const one = (severity: string) => ({ code: codeOf(severity), facts: {}, where: [] }) as unknown as Finding;
const check = (judgement: Judgement): Check => ({ rule: "a/b", subject: "read", judgement });
const pass = check({ outcome: "pass" });
const apart = check({ outcome: "not-applicable", because: "it is" });

describe("verdictOf", () => {
  it("is clear only when a rule applied, all that applied passed, and nothing asks for a review", () => {
    expect(verdictOf([pass, apart], [])).toBe("clear");
    expect(verdictOf([pass], [one("note")])).toBe("clear");
  });

  it("is not clear when no rule applied", () => {
    expect(verdictOf([], [])).toBe("review");
    expect(verdictOf([apart], [])).toBe("review");
  });

  it("is not clear when a rule could not tell or failed, even where nothing was found", () => {
    expect(verdictOf([pass, check({ outcome: "unknown", findings: [one("note")] })], [])).toBe("review");
    expect(verdictOf([pass, check({ outcome: "fail", findings: [one("note")] })], [])).toBe("review");
  });

  it("stops for one contradiction, whatever else holds", () => {
    expect(verdictOf([pass, pass], [one("note"), one("stop")])).toBe("stop");
  });
});

describe("severityOf", () => {
  it("is raised by a profile, never lowered", () => {
    expect(severityOf(one("review"), { [codeOf("review")]: "stop" })).toBe("stop");
    expect(severityOf(one("stop"), { [codeOf("stop")]: "review" })).toBe("stop");
    expect(severityOf(one("note"), {})).toBe("note");
  });
});
