import { appendRecord, type NewRecordEntry } from "@assay/core";

/** The text of a record of invented runs: a check, a pair that does not agree, a pair that does, over and over. */
export function inventedRecord(count: number): string {
  let text: string | undefined;
  for (let i = 0; i < count; i++) text = appendRecord(text, inventedRun(i)).text;
  return text as string;
}

function inventedRun(i: number): NewRecordEntry {
  const file = (role: string, name: string, digits: string) => ({
    role,
    name,
    bytes: 262144,
    sha256: digits.repeat(32),
  });
  const right = i % 3 === 1 ? file("right", "starboard-found.bin", "2b") : file("right", "starboard.bin", "3c");
  const differs = {
    code: "pair/calibration-differs",
    severity: "stop" as const,
    where: [{ role: "right", start: 0x31004, length: 1, region: "calibration" }],
    places: 2,
  };
  return {
    time: `2026-05-04T09:${String(10 + (i % 50)).padStart(2, "0")}:00.000Z`,
    tool: { name: "assay", version: "0.1.0" },
    operator: i % 3 === 2 ? null : "Ana",
    note: i % 3 === 0 ? "first read, on the bench" : null,
    command: i % 3 === 0 ? "check" : "pair",
    inputs: i % 3 === 0 ? [file("read", "port.bin", "1a")] : [file("left", "port.bin", "1a"), right],
    verdict: i % 3 === 1 ? "stop" : "clear",
    findings: i % 3 === 1 ? [differs] : [],
    findingsLeftOut: 0,
    plan: null,
    output: null,
  };
}
