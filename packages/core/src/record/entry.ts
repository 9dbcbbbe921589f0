import type { Report, ReportFinding, ReportInput } from "../report/schema.js";
import { entryLimits, type NewRecordEntry } from "./schema.js";

/** A file with its digest, as an entry names it. */
export interface RecordedFile {
  readonly name: string;
  readonly bytes: number;
  readonly sha256: string;
}

/** What a report does not know of the run that it came from. */
export interface RunFacts {
  /** ISO 8601 in UTC. The core has no clock. */
  readonly time: string;
  readonly operator?: string | undefined;
  readonly note?: string | undefined;
  /** Files that were read besides those of the report: profile, job sheet. */
  readonly documents?: readonly (RecordedFile & { readonly role: string })[] | undefined;
}

const weight: Readonly<Record<ReportFinding["severity"], number>> = { stop: 0, review: 1, note: 2 };

/**
 * What is recorded of the run that came to `report`: files by digest, the verdict, the plan, and of each finding its
 * code and its places. No field that was read from an image is in it.
 */
export function recordEntryOf(report: Report, facts: RunFacts): NewRecordEntry {
  const { time, operator, note, documents = [] } = facts;
  const { plan, output } = report;
  const weightiest = [...report.findings].sort((a, b) => weight[a.severity] - weight[b.severity]);
  return whole({
    time,
    tool: { ...report.tool },
    operator: operator ?? null,
    note: note ?? null,
    command: report.command,
    inputs: [...report.inputs.flatMap(withParts), ...documents].map(fileOf),
    verdict: report.verdict,
    findings: weightiest.slice(0, entryLimits.findings).map(({ code, severity, where }) => ({
      code,
      severity,
      where: where.slice(0, entryLimits.places).map((place) => ({ ...place })),
      places: where.length,
    })),
    findingsLeftOut: Math.max(0, weightiest.length - entryLimits.findings),
    plan: plan ?? null,
    output: output ? { name: output.name, bytes: output.bytes, sha256: output.sha256 } : null,
  });
}

type Input = RecordedFile & { readonly role: string };

/** An input with the files that it was put together from: those are what lies on the disk. */
function withParts({ parts = [], ...input }: ReportInput): Input[] {
  return [input, ...parts.map((part, i) => ({ ...part, role: `${input.role} part ${i + 1}` }))];
}

function fileOf({ role, name, bytes, sha256 }: Input): Input {
  return { role, name, bytes, sha256 };
}

/** The same with U+FFFD for every half of a surrogate pair: names of files may hold such, and UTF-8 cannot. */
function whole<Value>(value: Value): Value {
  if (typeof value === "string") return value.replace(/\p{Surrogate}/gu, "\uFFFD") as Value;
  if (Array.isArray(value)) return value.map(whole) as Value;
  if (typeof value !== "object" || value === null) return value;
  const members = Object.entries(value).filter(([, held]) => held !== undefined);
  return Object.fromEntries(members.map(([key, held]) => [whole(key), whole(held)])) as Value;
}
