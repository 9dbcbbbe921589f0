import { totalLength } from "../bytes/span.js";
import { catalogue, type Finding, finding } from "../findings/catalogue.js";
import { type SoundnessMeasures, smallestMeasured } from "../soundness/measure.js";
import { type Judgement, judgement, type Rule } from "./rule.js";
import { type Cause, causeOf } from "./soundness/cause.js";
import type { Symptom, SymptomCode } from "./soundness/symptom.js";

/** What was measured of one read, and what it amounts to. */
export interface SoundnessQuestion {
  readonly measures: SoundnessMeasures;
  readonly cause: Cause;
}

/** The question on `measures`. */
export function soundnessQuestion(measures: SoundnessMeasures): SoundnessQuestion {
  return { measures, cause: causeOf(measures) };
}

/** Symptoms of single places, which are looked for in every read. */
const placed: ReadonlySet<SymptomCode> = new Set<SymptomCode>([
  "soundness/block-repeated",
  "soundness/hole-in-content",
  "soundness/hole-under-failing-checksum",
]);

/** Places that one finding names. */
const placesNamed = 16;

/** What every rule asks: the symptoms that are its own. Those named in `small` can be told of a read of any size. */
const questions: readonly { readonly id: string; readonly own: readonly SymptomCode[]; readonly small?: boolean }[] = [
  { id: "soundness/file-is-a-read", own: ["soundness/not-the-bytes", "soundness/only-text"], small: true },
  { id: "soundness/not-blank", own: ["soundness/constant"], small: true },
  {
    id: "soundness/address-lines-alive",
    own: ["soundness/address-line-dead", "soundness/address-lines-shorted", "soundness/alternate-blocks-blank"],
  },
  {
    id: "soundness/content-once",
    own: ["soundness/content-repeats", "soundness/halves-alike", "soundness/records-alike"],
  },
  {
    id: "soundness/data-lines-alive",
    own: [
      "soundness/data-line-stuck",
      "soundness/data-lines-shorted",
      "soundness/high-bit-clear",
      "soundness/data-line-doubtful",
      "soundness/data-lines-doubtful",
    ],
  },
  {
    id: "soundness/transfer-intact",
    own: [
      "soundness/text-mode-transfer",
      "soundness/line-ends-doubtful",
      "soundness/byte-values-missing",
      "soundness/byte-value-doubtful",
      "soundness/re-encoded",
    ],
  },
  {
    id: "soundness/bytes-in-order",
    own: [
      "soundness/bytes-swapped",
      "soundness/parts-joined",
      "soundness/bits-rearranged",
      "soundness/data-lines-exchanged",
      "soundness/order-doubtful",
    ],
  },
  {
    id: "soundness/blocks-in-order",
    own: ["soundness/address-lines-exchanged", "soundness/blocks-displaced", "soundness/content-breaks-off"],
  },
  { id: "soundness/no-block-twice", own: ["soundness/block-repeated"] },
  { id: "soundness/no-block-missing", own: ["soundness/hole-in-content", "soundness/hole-under-failing-checksum"] },
  { id: "soundness/content-readable", own: ["soundness/structureless"] },
  { id: "soundness/size-of-a-part", own: ["soundness/size-unusual"], small: true },
];

export const soundnessRules: readonly Rule<SoundnessQuestion>[] = questions.map(({ id, own, small }) => ({
  id,
  judge: ({ measures, cause }) => judged(own, small ?? false, measures, cause),
}));

function judged(own: readonly SymptomCode[], small: boolean, measures: SoundnessMeasures, cause: Cause): Judgement {
  const mine = (symptoms: readonly Symptom[]) => symptoms.filter(({ code }) => own.includes(code));
  const told = mine(cause.told);
  const lead = cause.told[0]?.code;
  if (told.length === 0 && mine(cause.explained).length > 0) {
    return { outcome: "not-applicable", because: `what was seen is explained by ${lead}` };
  }
  if (told.length === 0 && !small && !measures.statistics) {
    return {
      outcome: "not-applicable",
      because:
        measures.constant !== undefined
          ? "the read holds one value only"
          : `the read holds fewer than ${smallestMeasured} bytes: no statistic is taken of so few`,
    };
  }
  const ofPlaces = small || own.some((code) => placed.has(code));
  if (told.length === 0 && measures.answered === "sound-read" && !ofPlaces) {
    return { outcome: "not-applicable", because: "the read is alike to the other one, where this was asked" };
  }
  if (own.includes("soundness/size-unusual") && !measures.exact) {
    return { outcome: "not-applicable", because: "the file may leave parts of the memory out" };
  }
  const findings = told.map((symptom) => toldBy(symptom));
  // What the catalogue has for a review leaves something open; all others contradict that the read is sound.
  const isOpen = ({ code }: Finding) => catalogue[code].severity === "review";
  return judgement(
    findings.filter((one) => !isOpen(one)),
    findings.filter(isOpen),
    mine(cause.outweighed).map((symptom) => outweighedBy(symptom, measures)),
  );
}

function toldBy({ code, facts, spans }: Symptom): Finding {
  return finding(code, facts as never, ...spans.slice(0, placesNamed).map((span) => ({ span })));
}

function outweighedBy({ code, spans }: Symptom, { body, known }: SoundnessMeasures): Finding {
  const statistic = code.slice(code.indexOf("/") + 1);
  const bytes = totalLength(spans) || known;
  const first = spans[0]?.start ?? body?.start ?? 0;
  return finding(
    "soundness/outweighed-by-checksum",
    { statistic, bytes, first },
    ...spans.slice(0, placesNamed).map((span) => ({ span })),
  );
}
