import { fromHex, toHex } from "../bytes/hex.js";
import { overlap, type Span } from "../bytes/span.js";
import type { PrivateValue } from "../identity/private.js";
import type { Report, ReportFinding } from "./schema.js";

/** What stands in the place of a private value. */
export const maskText = "(masked)";

/** How a text is written without `values`, as text or as hex. */
export function maskOf(values: readonly PrivateValue[]): (text: string) => string {
  const secrets = [...new Set(values.flatMap(({ shown, bytes }) => [shown, toHex(bytes)]))]
    .filter((secret) => secret.length > 0)
    .sort((a, b) => b.length - a.length);
  return (text) => secrets.reduce((masked, secret) => replaceWhole(masked, secret), text);
}

/**
 * The report without `values`: gone from the identities, the names of files, and every sentence in which they occur, as text or
 * as hex. Bytes that a finding shows from where one stands are gone too, be they a part of it only. Digests of whole files stay; they tell nothing of a value in them.
 */
export function withoutPrivateValues(report: Report, values: readonly PrivateValue[]): Report {
  const names = new Set(values.map(({ field }) => field));
  const mask = maskOf(values);
  return {
    ...report,
    inputs: report.inputs.map(({ parts, ...input }) => ({
      ...input,
      name: mask(input.name),
      ...(parts && { parts: parts.map((part) => ({ ...part, name: mask(part.name) })) }),
    })),
    images: report.images.map((image) => ({
      ...image,
      identity: Object.fromEntries(
        Object.entries(image.identity).map(([name, value]) => [name, names.has(name) ? maskText : mask(value)]),
      ),
    })),
    findings: report.findings.map((one) => ({
      ...one,
      detail: mask(one.detail),
      expected: one.expected === null ? null : mask(withoutSample(one.expected, one.where, values)),
      found: one.found === null ? null : mask(withoutSample(one.found, one.where, values)),
    })),
    ...(report.names && { names: { ...report.names, file: mask(report.names.file) } }),
  };
}

/** Bytes as a finding shows them: they stand first, and are no count of bytes. */
const sample = /^(?:[0-9a-f]{2})+\b(?:\.{3})?(?! bytes?\b)/;
/** So many bytes of a value, one behind the other, give it away wherever they are shown. */
const telling = 3;

/** `text` without bytes that stand where a private value stands, or that hold a part of one. */
function withoutSample(text: string, where: ReportFinding["where"], values: readonly PrivateValue[]): string {
  return text.replace(sample, (shown) => {
    const bytes = fromHex(shown.replace("...", ""));
    // A place may be shorter than the bytes that are shown from there on.
    const shownFrom = where.flatMap(({ start, length = 0 }): Span[] =>
      start === undefined ? [] : [{ start, end: start + Math.max(length, bytes.length) }],
    );
    const given = values.some(
      (value) =>
        (value.span && shownFrom.some((span) => overlap(span, value.span as Span))) || sharesRun(bytes, value.bytes),
    );
    return given ? maskText : shown;
  });
}

/** Whether both hold the same run of bytes, other than one byte over and over, which erased memory has anywhere. */
function sharesRun(shown: Uint8Array, secret: Uint8Array): boolean {
  for (let at = 0; at + telling <= secret.length; at++) {
    const run = secret.subarray(at, at + telling);
    if (run.every((byte) => byte === run[0])) continue;
    for (let i = 0; i + telling <= shown.length; i++) {
      if (run.every((byte, k) => byte === shown[i + k])) return true;
    }
  }
  return false;
}

/** Short values are replaced only where they stand alone: "7" is a serial number and a digit of everything else. */
function replaceWhole(text: string, secret: string): string {
  if (secret.length >= 6) return text.replaceAll(secret, maskText);
  const alone = (at: number) => at < 0 || at >= text.length || !/[A-Za-z0-9]/.test(text[at] as string);
  let masked = "";
  let from = 0;
  for (let at = text.indexOf(secret); at >= 0; at = text.indexOf(secret, at + secret.length)) {
    if (!alone(at - 1) || !alone(at + secret.length)) continue;
    masked += text.slice(from, at) + maskText;
    from = at + secret.length;
  }
  return masked + text.slice(from);
}
