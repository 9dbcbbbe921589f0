import { readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import wabt from "wabt";

// Writes packages/core/src/formats/record-kernel-code.ts from record-kernel.wat beside it; a test fails when it is not what
// this would write.

const at = (path: string) => fileURLToPath(new URL(`../core/src/formats/${path}`, import.meta.url));

/** Where the code stands. */
export const kernelCodePath: string = at("record-kernel-code.ts");

/** The file that holds the kernel's code, made from its text. */
export async function kernelCode(): Promise<string> {
  const { parseWat } = await wabt();
  const text = parseWat("record-kernel.wat", readFileSync(at("record-kernel.wat"), "utf8"), { simd: true });
  text.validate();
  const digits = Buffer.from(text.toBinary({}).buffer).toString("hex");
  text.destroy();
  return `/** What record-kernel.wat comes to, in hex. Made by packages/checks/kernel.ts. */
export const recordKernelCode: string =
  "${digits}";
`;
}

if (process.argv[1]?.endsWith("kernel.ts")) writeFileSync(kernelCodePath, await kernelCode());
