import { createHash } from "node:crypto";
import { basename } from "node:path";
import { decode, encode, type Image, Refusal, type Report, type WrittenFormatName } from "@assay/core";
import { formatOfName, formatUnsaid } from "./file-format.js";
import { STANDARD_OUTPUT, type Target, targetAt } from "./files/target.js";
import { writeFile } from "./files/write.js";
import { inFile } from "./inputs.js";
import type { World } from "./world.js";

/** A file that an image will be written to, in the format that was asked for or its name says. */
export interface ImageTarget {
  readonly path: string;
  readonly format: WrittenFormatName;
  readonly target: Target;
}

export type Output = NonNullable<Report["output"]>;

/** What somebody said of the image that a command is to write. */
export interface ImageWishes {
  readonly out?: string;
  readonly to?: WrittenFormatName;
  readonly force?: boolean;
}

/**
 * Where the image of a command that answers with a report goes; undefined when nobody asked for one.
 * @throws Refusal for standard output, where the report goes, for a file of which nothing says its format, and for one
 * that exists or was read
 */
export function imageTarget(world: World, { out: path, to, force = false }: ImageWishes): ImageTarget | undefined {
  if (path === undefined) {
    if (to === undefined) return undefined;
    throw new Refusal("usage/to-without-out", "--to: expected --out FILE with it, got none");
  }
  if (path === STANDARD_OUTPUT) {
    throw new Refusal(
      "usage/output-twice",
      "--out: expected the name of a file, got -, which the report is written to",
    );
  }
  const format = to ?? formatOfName(path);
  if (!format) throw formatUnsaid(path);
  return { path, format, target: targetAt(world, path, force) };
}

/**
 * Writes `image`, once what was encoded has been decoded again and is the same. `mask` is how the file's name is told.
 * @throws Refusal when the format cannot say it, or nothing can be written there
 */
export async function writeImage(
  world: World,
  { path, format, target }: ImageTarget,
  image: Image,
  mask: (text: string) => string,
): Promise<Output> {
  const bytes = inFile(path, () => encode(image, format));
  const base = image.bounds?.start ?? 0;
  const again = decode(bytes, format === "raw" ? { format, base } : { format });
  if (again.findings.length > 0 || !again.image.equals(image)) {
    throw new Refusal("output/other-image", "expected a file that says the image, got another", { file: path });
  }
  await writeFile(world, target, bytes);
  return {
    name: mask(basename(path)),
    format,
    bytes: bytes.length,
    sha256: createHash("sha256").update(bytes).digest("hex"),
  };
}
