import { lengthOf, type Span } from "../bytes/span.js";
import type { DifferingPiece } from "../compare/pieces.js";
import { entryOf, type Finding } from "../findings/catalogue.js";
import type { Place } from "../findings/finding.js";
import type { Processor } from "../processor/recognise.js";
import type { Check } from "../rules/rule.js";
import { type Raised, severityOf, verdictOf } from "../verdict/verdict.js";
import type { Report, ReportCheck, ReportDifference, ReportFinding, ReportProcessor } from "./schema.js";

/** Everything that a report is made of, but what follows from it. */
export interface ReportParts {
  readonly command: string;
  readonly version: string;
  readonly profile?: { readonly id: string; readonly title: string } | undefined;
  readonly inputs: Report["inputs"];
  readonly images: Report["images"];
  readonly differences?: Report["differences"];
  readonly differencesLeftOut?: number;
  readonly plan?: Report["plan"];
  /** In the order in which the findings are to stand. */
  readonly checks: readonly Check[];
  readonly raised?: Raised;
  readonly cautions?: readonly string[];
}

/** The span as the report writes it. */
export function reportSpan(span: Span): { readonly start: number; readonly length: number } {
  return { start: span.start, length: lengthOf(span) };
}

/** The processor as the report writes it. */
export function reportProcessor({ family, name, order, certainty, because }: Processor): ReportProcessor {
  return { family: family ?? null, name: name ?? null, order: order ?? null, certainty, because: [...because] };
}

/** The most differences that a report lists one by one; the findings count all of them. */
const differencesListed = 10_000;

/** `pieces` as the report lists them, and how many are left out of the list. */
export function reportDifferences(pieces: readonly DifferingPiece[]) {
  return {
    differences: pieces.slice(0, differencesListed).map(
      ({ span, region, rule }): ReportDifference => ({
        ...reportSpan(span),
        region: region?.name ?? null,
        explained: rule !== undefined,
        rule: rule ?? null,
      }),
    ),
    differencesLeftOut: Math.max(0, pieces.length - differencesListed),
  };
}

/** The report: findings in the order of the rules, then by address, and the verdict that follows from them. */
export function assembleReport(parts: ReportParts): Report {
  const { checks, raised = {} } = parts;
  const findings = checks.flatMap((check) => findingsOf(check).map((subject) => ({ subject, check })));
  return {
    schema: "assay.report/1",
    tool: { name: "assay", version: parts.version },
    command: parts.command,
    verdict: verdictOf(
      checks,
      findings.map(({ subject }) => subject),
      raised,
    ),
    profile: parts.profile ? { id: parts.profile.id, title: parts.profile.title } : null,
    inputs: parts.inputs,
    images: parts.images,
    ...(parts.differences && { differences: parts.differences, differencesLeftOut: parts.differencesLeftOut ?? 0 }),
    ...(parts.plan && { plan: parts.plan }),
    checks: checks.map(reportCheck),
    findings: findings.map(({ subject, check }) => reportFinding(subject, check.subject, raised)),
    cautions: [...(parts.cautions ?? [])],
  };
}

/** `report` with further checks behind its own, and the verdict that follows from all of them. */
export function withChecks(report: Report, checks: readonly Check[], raised: Raised = {}): Report {
  const findings = checks.flatMap((check) =>
    findingsOf(check).map((subject) => reportFinding(subject, check.subject, raised)),
  );
  return {
    ...report,
    verdict: worse(report.verdict, findings),
    checks: [...report.checks, ...checks.map(reportCheck)],
    findings: [...report.findings, ...findings],
  };
}

function worse(verdict: Report["verdict"], findings: readonly ReportFinding[]): Report["verdict"] {
  const has = (severity: ReportFinding["severity"]) => findings.some((one) => one.severity === severity);
  if (verdict === "stop" || has("stop")) return "stop";
  return has("review") ? "review" : verdict;
}

/** What a check found, by address; what has no address comes first, and as a note last. */
function findingsOf({ judgement }: Check): readonly Finding[] {
  const findings = judgement.outcome === "not-applicable" ? [] : (judgement.findings ?? []);
  const nowhere = (subject: Finding) => (entryOf(subject).severity === "note" ? Number.MAX_SAFE_INTEGER : -1);
  const address = (subject: Finding) => subject.where[0]?.span?.start ?? nowhere(subject);
  return [...findings].sort((a, b) => address(a) - address(b));
}

/** A check as the report writes it. */
export function reportCheck({ rule, subject, judgement }: Check): ReportCheck {
  const because =
    judgement.outcome === "not-applicable"
      ? judgement.because
      : judgement.outcome === "pass"
        ? null
        : judgement.findings
            .map(({ code }) => code)
            .filter((code, i, all) => all.indexOf(code) === i)
            .join(", ");
  return { rule, outcome: judgement.outcome, subject, because };
}

/** A finding with its words and places, as the report writes it; places without an owner are in `role`. */
export function reportFinding(subject: Finding, role: string, raised: Raised = {}): ReportFinding {
  const entry = entryOf(subject);
  return {
    code: subject.code,
    severity: severityOf(subject, raised),
    title: entry.title,
    detail: entry.says(subject.facts),
    where: subject.where.map((place) => reportPlace(place, role)),
    expected: entry.expected?.(subject.facts) ?? null,
    found: entry.found?.(subject.facts) ?? null,
    advice: entry.next,
  };
}

function reportPlace(place: Place, role: string): ReportFinding["where"][number] {
  const owner = place.role ?? (role === "both" ? undefined : role);
  return {
    ...(owner !== undefined && { role: owner }),
    ...(place.span && reportSpan(place.span)),
    ...(place.region !== undefined && { region: place.region }),
    ...(place.line !== undefined && { line: place.line }),
    ...(place.offset !== undefined && { offset: place.offset }),
  };
}
