import { toHex } from "../bytes/hex.js";
import type { PrivateValue } from "../identity/private.js";
import type { Report } from "./schema.js";

/** What stands in the place of a private value. */
export const maskText = "(masked)";

/**
 * The report without `values`: gone from the identities, the names of files, and every sentence in which they occur, as text or
 * as hex. Digests of whole files stay; they tell nothing of a value in them.
 */
export function withoutPrivateValues(report: Report, values: readonly PrivateValue[]): Report {
  const names = new Set(values.map(({ field }) => field));
  const secrets = [...new Set(values.flatMap(({ shown, bytes }) => [shown, toHex(bytes)]))]
    .filter((secret) => secret.length > 0)
    .sort((a, b) => b.length - a.length);
  const mask = (text: string) => secrets.reduce((masked, secret) => replaceWhole(masked, secret), text);
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
      expected: one.expected === null ? null : mask(one.expected),
      found: one.found === null ? null : mask(one.found),
    })),
    ...(report.names && { names: { ...report.names, file: mask(report.names.file) } }),
  };
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
