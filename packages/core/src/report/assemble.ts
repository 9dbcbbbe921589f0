import { entryOf, type Finding } from "../findings/catalogue.js";
import type { Place } from "../findings/finding.js";
import type { PrivateValue } from "../identity/private.js";
import type { Processor } from "../processor/recognise.js";
import { type Check, findingsOf } from "../rules/rule.js";
import type { DataTable } from "../tables/find.js";
import { type Raised, severityOf, verdictOf } from "../verdict/verdict.js";
import { type PlaceNames, withPlace } from "./differences.js";
import { withoutPrivateValues } from "./private.js";
import type { Report, ReportCheck, ReportFinding, ReportProcessor } from "./schema.js";
import { reportSpan } from "./span.js";

/** Everything that a report is made of, but what follows from it. */
export interface ReportParts {
  readonly command: string;
  readonly version: string;
  readonly profile?: { readonly id: string; readonly title: string } | undefined;
  readonly inputs: Report["inputs"];
  readonly images: Report["images"];
  readonly differences?: Report["differences"];
  readonly differencesLeftOut?: number;
  /** What looks like a table where the differences are; no verdict depends on it. */
  readonly tables?: readonly DataTable[] | undefined;
  /** What a measurement description calls those places. */
  readonly names?: PlaceNames | undefined;
  readonly plan?: Report["plan"];
  /** In the order in which the findings are to stand. */
  readonly checks: readonly Check[];
  readonly raised?: Raised;
  readonly cautions?: readonly string[];
  /** What belongs to an owner and is to be left out; undefined when the report may show it. */
  readonly secrets?: readonly PrivateValue[] | undefined;
}

/** The processor as the report writes it. */
export function reportProcessor({ family, name, order, certainty, because }: Processor): ReportProcessor {
  return { family: family ?? null, name: name ?? null, order: order ?? null, certainty, because: [...because] };
}

/** The report: findings in the order of the rules, then by address, and the verdict that follows from them. */
export function assembleReport(parts: ReportParts): Report {
  const report = wholeReport(parts);
  return parts.secrets ? withoutPrivateValues(report, parts.secrets) : report;
}

function wholeReport(parts: ReportParts): Report {
  const { checks, raised = {}, tables = [], names } = parts;
  const findings = checks.flatMap((check) => sortedFindings(check).map((subject) => ({ subject, check })));
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
    ...(parts.differences && {
      differences: parts.differences.map((difference) => withPlace(difference, tables, names)),
      differencesLeftOut: parts.differencesLeftOut ?? 0,
    }),
    ...(parts.plan && { plan: parts.plan }),
    checks: checks.map(reportCheck),
    findings: findings.map(({ subject, check }) => reportFinding(subject, check.subject, raised)),
    cautions: [...(parts.cautions ?? [])],
    ...(names && { names: names.told }),
  };
}

/** What a check found, by address; what has no address comes first, and as a note last. */
function sortedFindings(check: Check): readonly Finding[] {
  const nowhere = (subject: Finding) => (entryOf(subject).severity === "note" ? Number.MAX_SAFE_INTEGER : -1);
  const address = (subject: Finding) => subject.where[0]?.span?.start ?? nowhere(subject);
  return [...findingsOf(check)].sort((a, b) => address(a) - address(b));
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
    subject: role,
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
