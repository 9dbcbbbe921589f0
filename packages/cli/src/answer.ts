import type { Report } from "@assay/core";
import { exitCodes } from "./exit-code.js";
import { type AnswerWishes, outputWidth, print, printJson } from "./output.js";
import type { RecordWishes } from "./record.js";
import { renderText, verdictLine } from "./render/text.js";
import type { World } from "./world.js";

/**
 * Enters the run in the record that was asked for, then prints the report in the form that was asked for; the exit code
 * that says its verdict. What cannot be recorded is not answered: a verdict without its record is no answer to that.
 */
export async function answer(world: World, unrecorded: Report, wishes: AnswerWishes & RecordWishes): Promise<number> {
  const report =
    wishes.record === undefined
      ? unrecorded
      : await (await import("./record.js")).recordRun(world, unrecorded, wishes.record, wishes);
  if (wishes.json) await printJson(world, report);
  else await print(world, wishes.quiet ? [verdictLine(report)] : renderText(report, outputWidth(world)), wishes);
  return exitCodes[report.verdict];
}
