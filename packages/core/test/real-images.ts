import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

/** Real open firmware, fetched by `test-vectors/real-images/fetch.sh`, and what two unrelated programs said of it. */

export interface ExpectedImage {
  readonly id: string;
  readonly path: string;
  readonly format: string;
  readonly checks: readonly {
    readonly kind: string;
    readonly expect: unknown;
    readonly at?: number;
    readonly size?: number;
  }[];
}

export interface ExpectedPair {
  readonly kind: string;
  readonly a: string;
  readonly b: string;
  readonly expect: unknown;
  readonly note: string;
}

const folder =
  process.env.ASSAY_REAL_IMAGES ?? fileURLToPath(new URL("../../../node_modules/.cache/real-images", import.meta.url));

export const expected: { readonly images: readonly ExpectedImage[]; readonly pairs: readonly ExpectedPair[] } =
  JSON.parse(readFileSync(new URL("../../../test-vectors/real-images/expected.json", import.meta.url), "utf8"));

const present = existsSync(join(folder, expected.images[0]?.path ?? ""));
if (!present) {
  const told = `the real images are not there: bash test-vectors/real-images/fetch.sh brings them`;
  if (process.env.ASSAY_REQUIRE_TOOLS === "1") throw new Error(told);
  console.warn(`\n  NOT TESTED: ${told}\n`);
}

/** Whether the images are there; where they must be, their absence is an error already. */
export const realImagesPresent: boolean = present;

export function readRealImage(path: string): Uint8Array {
  return new Uint8Array(readFileSync(join(folder, path)));
}
