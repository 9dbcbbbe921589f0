import { createHash } from "node:crypto";
import {
  type EncodeOptions,
  encode,
  entryOf,
  type InputFile,
  Refusal,
  reportInput,
  type Span,
  type StartAddress,
  type WrittenFormatName,
} from "@assay/core";
import { DONE } from "../exit-code.js";
import { formatOfName, formatUnsaid } from "../file-format.js";
import { refuseDamage } from "../files/damage.js";
import { STANDARD_OUTPUT, targetAt } from "../files/target.js";
import { writeFile } from "../files/write.js";
import { inFile, onlyOnce, readInputs, readParts } from "../inputs.js";
import type { CommonOptions } from "../options.js";
import { printJson, tell } from "../output.js";
import { countOf, showAddress } from "../render/numbers.js";
import type { World } from "../world.js";

export interface ConvertOptions extends CommonOptions {
  readonly to?: WrittenFormatName;
  readonly fill?: number;
  readonly cover?: Span;
  readonly recordLength?: number;
  readonly start?: number;
  readonly header?: string;
  readonly crlf?: boolean;
}

/**
 * Writes the image of one file, or of the part files of one read, in another format, and says what that format could not
 * take along. The last of `paths` is the file to write.
 */
export async function convert(world: World, paths: readonly string[], wishes: ConvertOptions): Promise<number> {
  const to = paths.at(-1) as string;
  const from = paths.slice(0, -1);
  if (from.length !== 1 && !wishes.parts) {
    const got = from.length === 0 ? `${to} alone` : `${paths.length} names`;
    throw new Refusal(
      "usage/two-names",
      `expected a file to read and one to write (--parts takes several), got ${got}`,
    );
  }
  onlyOnce(from);
  if (to === STANDARD_OUTPUT && wishes.json) {
    throw new Refusal("usage/output-twice", "expected --json or an output of -, got both for one standard output");
  }
  const format = wishes.to ?? formatOfName(to);
  if (!format) throw formatUnsaid(to);
  if (wishes.cover && format !== "raw") {
    throw new Refusal("usage/cover-not-raw", `--cover: expected a raw file to write with it, got ${format}`);
  }
  const input = await readOne(world, from, wishes);
  const target = targetAt(world, to, wishes.force === true);
  if (format === "raw" && target.kind === "stdout" && world.stdout.isTerminal) {
    throw new Refusal("output/terminal", "expected a file or a pipe for raw bytes, got a terminal", { file: to });
  }
  const seen = remarksOn(input);
  const name = from.join(" + ");
  await tell(
    world,
    seen.map(({ severity, detail, code }) => `${name}: ${severity}: ${detail} (${code})`),
    wishes,
  );
  refuseDamage("convert/damaged", name, input);

  const { image } = input.decoded;
  const options = encodeOptions(wishes, input);
  const bytes = inFile(to, () => encode(image, format, options));
  await writeFile(world, target, bytes);

  const output = { name: to, format, bytes: bytes.length, sha256: createHash("sha256").update(bytes).digest("hex") };
  const leftBehind = notTakenAlong(format, input, options);
  if (wishes.json) {
    const { role, spans: _, ...read } = reportInput(input);
    const spans = image.spans.map(({ start, end }) => ({ start, length: end - start }));
    await printJson(world, { schema: "assay.convert/1", input: read, output, spans, leftBehind, findings: seen });
  } else if (!wishes.quiet) {
    const name = to === STANDARD_OUTPUT ? "standard output" : to;
    const held = `${countOf(image.length, "byte")} of memory in ${countOf(image.spans.length, "span")}`;
    await tell(
      world,
      [`${name}: ${format}, ${countOf(bytes.length, "byte")}, ${held}, sha256 ${output.sha256}`, ...leftBehind],
      wishes,
    );
  }
  return DONE;
}

async function readOne(world: World, paths: readonly string[], wishes: ConvertOptions) {
  if (wishes.parts) return readParts(world, paths, wishes.parts, wishes);
  const [input] = await readInputs(world, { read: paths[0] as string }, wishes);
  return input as InputFile;
}

/** What the decoder saw, as it is said. */
function remarksOn({ decoded }: InputFile) {
  return decoded.findings.map((one) => {
    const { severity, title, says } = entryOf(one);
    return { code: one.code, severity, title, detail: says(one.facts), line: one.where[0]?.line ?? null };
  });
}

/** How to write it: as somebody wishes, else with what the file says of itself. */
function encodeOptions(wishes: ConvertOptions, { decoded }: InputFile): EncodeOptions {
  const start: StartAddress | undefined =
    wishes.start === undefined ? decoded.start : { kind: "linear", address: wishes.start };
  return {
    ...(wishes.recordLength !== undefined && { recordLength: wishes.recordLength }),
    fill: wishes.fill,
    span: wishes.cover,
    lineEnd: wishes.crlf ? "crlf" : "lf",
    start,
    header: wishes.header ?? decoded.header,
  };
}

/** What the file said and its new format cannot say. */
function notTakenAlong(
  format: WrittenFormatName,
  { decoded }: InputFile,
  { start, header, span }: EncodeOptions,
): string[] {
  const first = (span ?? decoded.image.bounds)?.start ?? 0;
  const raw = format === "raw";
  return [
    ...(raw && first > 0 ? [`not in it: that it begins at ${showAddress(first)} (--base ${showAddress(first)})`] : []),
    ...(start && (raw || format === "ti-txt") ? [`not in it: the start address ${showAddress(start.address)}`] : []),
    ...(format !== "s-record" && header ? [`not in it: the header text "${header}"`] : []),
  ];
}
