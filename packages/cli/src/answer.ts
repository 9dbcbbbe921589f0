import type { Report } from "@assay/core";
import { exitCodes } from "./exit-code.js";
import { type AnswerWishes, outputWidth, print, printJson } from "./output.js";
import { renderText, verdictLine } from "./render/text.js";
import type { World } from "./world.js";

/** Prints a report in the form that was asked for; the exit code that says its verdict. */
export async function answer(world: World, report: Report, wishes: AnswerWishes): Promise<number> {
  if (wishes.json) await printJson(world, report);
  else await print(world, wishes.quiet ? [verdictLine(report)] : renderText(report, outputWidth(world)), wishes);
  return exitCodes[report.verdict];
}
