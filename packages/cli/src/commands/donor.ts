import { createHash } from "node:crypto";
import { askDonor, decode, encode, type Image, type InputFile, Refusal, type Report } from "@assay/core";
import { accelerators } from "../accelerators.js";
import { answer } from "../answer.js";
import { formatOfName, formatUnsaid } from "../file-format.js";
import { STANDARD_OUTPUT, type Target, targetAt } from "../files/target.js";
import { writeFile } from "../files/write.js";
import { inFile, onlyOnce, readInputs, readJob, readProfile } from "../inputs.js";
import type { CommonOptions } from "../options.js";
import { tell } from "../output.js";
import { countOf, showAddress } from "../render/numbers.js";
import { VERSION } from "../version.js";
import type { World } from "../world.js";

export interface DonorOptions extends CommonOptions {
  readonly twin?: string;
}

type Output = NonNullable<Report["output"]>;

/** May the donor be written with what the source holds; with --out, what is to be written. */
export async function donor(world: World, source: string, used: string, wishes: DonorOptions): Promise<number> {
  const { twin, out } = wishes;
  onlyOnce([source, used, twin, wishes.profile, wishes.job]);
  if (out !== undefined) checkOut(out, wishes);
  const profile = await readProfile(world, wishes.profile, wishes);
  const job = await readJob(world, wishes.job);
  const paths = { source, donor: used, ...(twin !== undefined && { twin }) };
  const [first, second, third] = (await readInputs(world, paths, wishes, profile)) as [
    InputFile,
    InputFile,
    InputFile?,
  ];
  const target = out === undefined ? undefined : targetAt(world, out, wishes.force === true);
  const { report, composed } = askDonor({
    source: first,
    donor: second,
    twin: third,
    profile,
    job,
    side: wishes.side,
    private: wishes.private === true,
    version: VERSION,
    accelerators,
  });
  const { plan } = report;
  if (out === undefined || !target) return answer(world, report, wishes, { plan });
  if (wishes.json) {
    // One document, so it can only come when the file is there.
    const output = composed ? await write(world, out, target, composed) : null;
    return answer(world, { ...report, output }, wishes, { plan, output: output ?? undefined });
  }
  // Whoever reads it sees the plan before anything is written.
  const { record, ...unrecorded } = wishes;
  const code = await answer(world, report, unrecorded);
  const output = composed && (await write(world, out, target, composed));
  let entered: string[] = [];
  if (record !== undefined) {
    const { enteredText, recordRun } = await import("../record.js");
    entered = enteredText(
      await recordRun(world, { ...report, output: output ?? null }, record, wishes, { plan, output }),
    );
  }
  await tell(world, output ? written(output, composed, report) : [`${out}: not written, the verdict is stop`], wishes);
  await tell(world, entered, wishes);
  return code;
}

function checkOut(out: string, { profile }: DonorOptions): void {
  if (out === STANDARD_OUTPUT) {
    throw new Refusal(
      "usage/output-twice",
      "--out: expected the name of a file, got -, which the report is written to",
    );
  }
  if (profile === undefined) {
    throw new Refusal(
      "usage/out-without-profile",
      "--out: expected a profile that says what comes from where, got none",
    );
  }
  if (!formatOfName(out)) throw formatUnsaid(out);
}

/** Writes the composed image, once what was encoded has been decoded again and is the same. */
async function write(world: World, path: string, target: Target, image: Image): Promise<Output> {
  const format = formatOfName(path);
  if (!format) throw formatUnsaid(path);
  const bytes = inFile(path, () => encode(image, format));
  const base = image.bounds?.start ?? 0;
  const again = decode(bytes, format === "raw" ? { format, base } : { format });
  if (again.findings.length > 0 || !again.image.equals(image)) {
    throw new Refusal("output/not-as-composed", "expected a file that says what was composed, got another", {
      file: path,
    });
  }
  await writeFile(world, target, bytes);
  return { name: path, format, bytes: bytes.length, sha256: createHash("sha256").update(bytes).digest("hex") };
}

function written({ name, format, bytes, sha256 }: Output, image: Image | undefined, { verdict }: Report): string[] {
  const start = image?.bounds?.start ?? 0;
  return [
    `${name}: written, ${format}, ${countOf(bytes, "byte")}, sha256 ${sha256}`,
    ...(format === "raw" && start > 0 ? [`not in it: that it begins at ${showAddress(start)}`] : []),
    ...(verdict === "review" ? ["the verdict is review: settle what is open before it goes into the unit"] : []),
  ];
}
