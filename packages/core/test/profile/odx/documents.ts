import { readFileSync } from "node:fs";

const standards = new URL("../../../../../test-vectors/standards/", import.meta.url);

/** A flash container, made by hand after ISO 22901-1 and loaded with a general open library; see test-vectors/README.md. */
export const example: string = readFileSync(new URL("example.odx-f.xml", standards), "utf8");
/** The data that lie beside it. */
export const exampleData: Uint8Array = new Uint8Array(readFileSync(new URL("example-data.bin", standards)));
export const beside: ReadonlyMap<string, Uint8Array> = new Map([["example-data.bin", exampleData]]);

/** The example with one piece of its text changed; it must be there. */
export function changed(from: string | RegExp, to: string, text: string = example): string {
  const result = text.replace(from, to);
  if (result === text) throw new Error(`expected ${from} in the document`);
  return result;
}
