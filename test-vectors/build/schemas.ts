/**
 * Writes the JSON Schemas that the core package publishes, from the schemas in its source. Running it again changes
 * nothing: `tsx test-vectors/build/schemas.ts`.
 */
import { writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { jobSheetJsonSchema } from "../../packages/core/src/job/load.js";
import { jsonSchemaOf } from "../../packages/core/src/profile/document.js";
import { profileJsonSchema } from "../../packages/core/src/profile/load.js";
import { recordJsonSchema } from "../../packages/core/src/record/read.js";
import { errorSchema, reportSchema } from "../../packages/core/src/report/schema.js";

/** Where the published schemas lie. */
export const folder = new URL("../../packages/core/schema/", import.meta.url);

/** The text of each published schema, by the name of its file. */
export function schemaFiles(): Readonly<Record<string, string>> {
  const schemas = {
    "profile.schema.json": profileJsonSchema(),
    "job-sheet.schema.json": jobSheetJsonSchema(),
    "record.schema.json": recordJsonSchema(),
    "report.schema.json": jsonSchemaOf(reportSchema),
    "error.schema.json": jsonSchemaOf(errorSchema),
  };
  return Object.fromEntries(
    Object.entries(schemas).map(([name, schema]) => [name, `${JSON.stringify(schema, null, 2)}\n`]),
  );
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  for (const [name, text] of Object.entries(schemaFiles())) writeFileSync(new URL(name, folder), text);
}
