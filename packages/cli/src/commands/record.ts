import { basename } from "node:path";
import { type RecordEntry, type RecordReading, type RecordVerification, verifyRecord } from "@assay/core";
import { exitCodes } from "../exit-code.js";
import { type AnswerWishes, outputWidth, print, printJson } from "../output.js";
import { readRecordFile } from "../record.js";
import { findingLines } from "../render/findings.js";
import { countOf, showRun } from "../render/numbers.js";
import { safe } from "../render/safe.js";
import { hanging } from "../render/wrap.js";
import type { Line } from "../terminal/paint.js";
import type { World } from "../world.js";

export interface VerifyWishes extends AnswerWishes {
  readonly expect?: string;
}

/** Was the record changed since it was written? With a noted digest: is what was noted still there? */
export async function recordVerify(world: World, path: string, wishes: VerifyWishes): Promise<number> {
  const reading = await readRecordFile(world, path);
  const verification = verifyRecord(reading, wishes.expect);
  const { verdict, checks, findings } = verification;
  if (wishes.json) {
    const { entries, last } = reading.record;
    const expect = wishes.expect?.toLowerCase() ?? null;
    const told = { name: basename(path), verdict, entries: entries.length, last, expect, checks, findings };
    await printJson(world, { schema: "assay.record-verify/1", ...told });
  } else {
    const lines = headLines("verify", path, reading, verification, outputWidth(world));
    await print(world, wishes.quiet ? lines.slice(0, 1) : lines, wishes);
  }
  return exitCodes[verdict];
}

/** What was done, entry by entry. The exit code says, as with verify, whether it may be relied on. */
export async function recordShow(world: World, path: string, wishes: AnswerWishes): Promise<number> {
  const reading = await readRecordFile(world, path);
  const verification = verifyRecord(reading);
  const { verdict, findings } = verification;
  const { entries, last } = reading.record;
  if (wishes.json) {
    const told = { name: basename(path), verdict, entries, last, findings };
    await printJson(world, { schema: "assay.record-show/1", ...told });
  } else {
    const width = outputWidth(world);
    const lines = entries.flatMap((entry) => ["", ...entryLines(safe(entry), width)]);
    await print(world, [...headLines("show", path, reading, verification, width), ...lines], wishes);
  }
  return exitCodes[verdict];
}

function headLines(
  command: string,
  path: string,
  { record: { entries, last } }: RecordReading,
  { verdict, findings }: RecordVerification,
  width: number,
): Line[] {
  const text = `${safe(basename(path))}: ${countOf(entries.length, "entry", "entries")}, the last with digest ${last.digest}`;
  return [
    [`record ${command}: `, { text: verdict, style: verdict }],
    ...hanging("", 0, text, width),
    ...(findings.length > 0 ? ["", ...findingLines({ images: [], findings: [...safe(findings)] }, width)] : []),
  ];
}

function entryLines(entry: RecordEntry, width: number): Line[] {
  const {
    number,
    time,
    command,
    verdict,
    tool,
    operator,
    note,
    inputs,
    findings,
    findingsLeftOut,
    plan,
    output,
    digest,
  } = entry;
  const file = ({ name, bytes, sha256 }: (typeof inputs)[number] | NonNullable<typeof output>) =>
    `${name}, ${countOf(bytes, "byte")}, sha256 ${sha256}`;
  const rows: (readonly [label: string, text: string])[] = [
    ...(operator === null ? [] : [["operator", operator] as const]),
    ...(note === null ? [] : [["note", note] as const]),
    ...inputs.map((input) => [input.role, file(input)] as const),
    ...findingTexts(findings).map((text, i) => [i === 0 ? "found" : "", text] as const),
    ...(findingsLeftOut > 0 ? [["", `and ${countOf(findingsLeftOut, "finding")} more`] as const] : []),
    ...(output === null ? [] : [["output", file(output)] as const]),
    ...(plan === null ? [] : [["plan", "recorded; --json shows it"] as const]),
    ["tool", `${tool.name} ${tool.version}`],
    ["digest", digest],
  ];
  const indent = 4 + Math.max(...rows.map(([label]) => label.length)) + 2;
  return [
    [
      { text: `${number}  ${time}  ${command}: `, style: "strong" },
      { text: verdict, style: verdict },
    ],
    ...rows.flatMap(([label, text]) => hanging(`    ${label}`, indent, text, width)),
  ];
}

/** A line for each finding; those that would read the same, of several units for instance, in one. */
function findingTexts(findings: RecordEntry["findings"]): string[] {
  const times = new Map<string, number>();
  for (const one of findings) {
    const text = `${one.severity} ${one.code}${placesText(one)}`;
    times.set(text, (times.get(text) ?? 0) + 1);
  }
  return [...times].map(([text, count]) => (count === 1 ? text : `${text}, ${count} times`));
}

/** Where the first place of a finding is, and how many more there are. */
function placesText({ where, places }: RecordEntry["findings"][number]): string {
  const [first] = where;
  if (!first) return "";
  const { role, start, length, region, line, offset } = first;
  const parts = [
    role,
    start === undefined ? undefined : showRun({ start, length: length ?? 1 }),
    region === undefined ? undefined : `region ${region}`,
    line === undefined ? undefined : `line ${line}`,
    offset === undefined ? undefined : `offset ${offset}`,
  ].filter((part) => part !== undefined);
  const more = places > 1 ? ` and ${countOf(places - 1, "more place")}` : "";
  return parts.length > 0 ? ` at ${parts.join(" ")}${more}` : "";
}
