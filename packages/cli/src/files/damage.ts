import { entryOf, type InputFile, Refusal, type RefusalCode } from "@assay/core";

/**
 * That the decoder saw no damage in `file`: what a damaged file lost would be lost without anybody seeing it.
 * @throws Refusal of `code` otherwise
 */
export function refuseDamage(code: RefusalCode, file: string, { decoded }: Pick<InputFile, "decoded">): void {
  const damage = decoded.findings.filter((one) => entryOf(one).severity === "stop");
  const [first] = damage;
  if (!first) return;
  const line = first.where[0]?.line;
  throw new Refusal(
    code,
    `expected a file without damage, got ${first.code}${damage.length > 1 ? ` (and ${damage.length - 1} more)` : ""}`,
    { file, ...(line !== undefined && { line }) },
  );
}
