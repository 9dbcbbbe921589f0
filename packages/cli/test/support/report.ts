import type { Report } from "@assay/core";

/** A report with something in every place; `text` stands wherever a file, a name or a memory could have put it. */
export function reportWith(text: string): Report {
  const spans = [{ start: 0, length: 0x40000 }];
  const image = (role: string) => ({
    role,
    identity: { softwareNumber: text, [`field ${text}`]: "7" },
    checksums: [
      { name: `program ${text}`, algorithm: "CRC-32/ISO-HDLC", status: "fails" as const, stored: "00", computed: null },
    ],
    fingerprints: { program: "ab".repeat(32) },
    shortFingerprints: { program: "7QGX-0M4T-ZB5K-9WEH-21RN-P" },
    coverage: { checksummed: 0.98, described: 1 },
    side: text,
    regions: [
      { name: `boot ${text}`, role: "boot", spans: [{ start: 0, length: 0x4000 }] },
      { name: "calibration", role: "calibration", spans: [{ start: 0x30000, length: 0x8000 }] },
    ],
  });
  return {
    schema: "assay.report/1",
    tool: { name: "assay", version: "0.1.0" },
    command: "pair",
    verdict: "stop",
    profile: { id: text, title: text },
    inputs: ["left", "right"].map((role) => ({
      role,
      name: text,
      format: "raw" as const,
      bytes: 262144,
      sha256: "0123456789abcdef".repeat(4),
      spans,
    })),
    images: [image("left"), image("right")],
    differences: [
      { start: 0x31000, length: 1, region: "calibration", explained: false, rule: null },
      { start: 0x38000, length: 4, region: null, explained: true, rule: text },
    ],
    differencesLeftOut: 3,
    checks: [
      { rule: "pair/regions-agree", outcome: "fail", subject: "both", because: text },
      { rule: "unit/all-described", outcome: "pass", subject: "left", because: null },
    ],
    findings: (["note", "review", "stop"] as const).map((severity) => ({
      code: "pair/calibration-differs",
      severity,
      title: text,
      detail: text,
      subject: "both",
      where: [
        { role: "right", start: 0x31000, length: 1, region: "calibration" },
        { role: text, region: text, line: 7, offset: 100 },
      ],
      expected: text,
      found: text,
      advice: text,
    })),
    cautions: [text],
  };
}
