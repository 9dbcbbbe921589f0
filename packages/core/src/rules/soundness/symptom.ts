import type { Span } from "../../bytes/span.js";
import type { Evidence } from "../../findings/areas/soundness/evidence.js";
import type { SymptomFacts } from "../../findings/areas/soundness.js";

/** The codes that one read alone can lead to. */
export type SymptomCode = keyof SymptomFacts;

/** One thing that a statistic says about a read. */
export type Symptom = {
  [Code in SymptomCode]: {
    readonly code: Code;
    /** `whole`: it shows all over the image and explains whatever else looks odd. */
    readonly reach: "whole" | "place";
    readonly facts: SymptomFacts[Code];
    /** Where, as addresses; empty for the whole image. */
    readonly spans: readonly Span[];
  };
}[SymptomCode];

/** What was measured, the value from which it counts, and how much was looked at. */
export function evidence(measured: number, threshold: number, of: number): Evidence {
  return { measured, threshold, of, also: [] };
}

/** What shows all over the image. */
export function whole<Code extends SymptomCode>(code: Code, facts: SymptomFacts[Code]): Symptom {
  return { code, reach: "whole", facts, spans: [] } as unknown as Symptom;
}

/** What explains nothing else, though it is seen all over. */
export function doubt<Code extends SymptomCode>(code: Code, facts: SymptomFacts[Code]): Symptom {
  return { code, reach: "place", facts, spans: [] } as unknown as Symptom;
}

/** The codes of what one symptom explains, as its facts name them: each once, without their area. */
export function namesOf(symptoms: readonly Symptom[]): string[] {
  return [...new Set(symptoms.map(({ code }) => code.slice(code.indexOf("/") + 1)))];
}
