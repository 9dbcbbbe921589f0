import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { folder, schemaFiles } from "../../../../test-vectors/build/schemas.js";

describe("the published schemas", () => {
  const files = Object.entries(schemaFiles());

  it("are all there, and no other", () => {
    expect(readdirSync(folder).sort()).toEqual(files.map(([name]) => name).sort());
  });

  it.each(files)("%s is what its source says (else run: npx tsx test-vectors/build/schemas.ts)", (name, text) => {
    expect(readFileSync(new URL(name, folder), "utf8")).toBe(text);
  });

  it.each(files)("%s is a schema of draft 2020-12 whose references lead somewhere", (_, text) => {
    const schema = JSON.parse(text) as { readonly $schema: string; readonly $defs?: object };
    expect(schema.$schema).toBe("https://json-schema.org/draft/2020-12/schema");
    for (const [, reference = ""] of text.matchAll(/"\$ref": "#\/\$defs\/([^"]*)"/g)) {
      expect(Object.keys(schema.$defs ?? {})).toContain(reference.replaceAll("~1", "/"));
    }
  });
});
