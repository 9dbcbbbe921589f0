import { readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import wabt from "wabt";

// Writes packages/core/src/formats/plain-kernel-code.ts from plain-kernel.wat beside it; a test fails when it is not what
// this would write.

const at = (path: string) => fileURLToPath(new URL(`../core/src/formats/${path}`, import.meta.url));

/** Where the code stands. */
export const kernelCodePath: string = at("plain-kernel-code.ts");

/** The file that holds the kernel's code, made from its text. */
export async function kernelCode(): Promise<string> {
  const { parseWat } = await wabt();
  const text = parseWat("plain-kernel.wat", readFileSync(at("plain-kernel.wat"), "utf8"), { simd: true });
  text.validate();
  const digits = Buffer.from(text.toBinary({}).buffer).toString("hex");
  text.destroy();
  return `/** What plain-kernel.wat comes to, in hex. Made by packages/checks/kernel.ts. */
export const plainKernelCode: string =
  "${digits}";
`;
}

if (process.argv[1]?.endsWith("kernel.ts")) writeFileSync(kernelCodePath, await kernelCode());
