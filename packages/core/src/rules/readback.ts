import type { FaultGroup, OneSidedRegion, ReadbackComparison } from "../compare/readback.js";
import { type Finding, finding } from "../findings/catalogue.js";
import type { Place } from "../findings/finding.js";
import { judgement, type Rule } from "./rule.js";

/** What the rules on a read-back are asked of. */
export interface ReadbackQuestion {
  readonly comparison: ReadbackComparison;
  /** Whether a profile says where a unit writes by itself. */
  readonly profiled: boolean;
  /** The digest of the file, when both are the same, byte for byte. */
  readonly sameFile: string | undefined;
}

export const readbackRules: readonly Rule<ReadbackQuestion>[] = [
  {
    id: "readback/as-meant",
    judge: ({ comparison: { cut, faults, volatile, difference, compared }, profiled, sameFile }) => {
      const groups = faults.map((group) => faultOf(group, profiled));
      const open = profiled ? [] : groups.filter(({ code }) => code === "readback/differs-undescribed");
      return judgement(
        [
          ...(cut
            ? [
                finding(
                  "readback/write-cut-short",
                  { tail: cut.tail, from: cut.span.start, to: cut.span.end, bytes: cut.bytes },
                  { role: "readback", span: cut.span },
                ),
              ]
            : []),
          ...groups.filter((one) => !open.includes(one)),
        ],
        [
          ...(difference.compared === 0 ? [finding("readback/nothing-compared", { own: 0 })] : []),
          ...(compared.held === 0 && compared.free > 0
            ? [finding("readback/nothing-compared", { own: compared.free })]
            : []),
          ...open,
        ],
        [
          ...(volatile > 0 && !cut ? [finding("readback/unit-wrote", { bytes: volatile })] : []),
          ...(sameFile !== undefined ? [finding("readback/files-identical", { sha256: sameFile })] : []),
        ],
      );
    },
  },
  {
    id: "readback/learnt-carried",
    judge: ({ comparison: { unlearnt } }) =>
      judgement(
        [],
        unlearnt.map(({ first, ...facts }) =>
          finding("readback/learnt-erased", facts, { role: "readback", span: first, region: facts.region }),
        ),
      ),
  },
  {
    id: "readback/all-compared",
    judge: ({ comparison: { unread, unmeant } }) =>
      judgement(
        [],
        [
          ...unread.map((part) => oneSided("readback/not-read", "intended", part)),
          ...unmeant.map((part) => oneSided("readback/not-meant", "readback", part)),
        ],
      ),
  },
];

const codes = {
  "erased-left": "readback/erased-left",
  "bits-not-programmed": "readback/bits-not-programmed",
  "bits-not-erased": "readback/bits-not-erased",
  "old-content": "readback/old-content",
} as const;

function faultOf({ fault, region, first, places, bytes, stayed, lost, by }: FaultGroup, profiled: boolean): Finding {
  const facts = { region, places, bytes, stayed, lost, first: first[0].start };
  const at: Place[] = first.map((span) => ({ role: "readback", span, ...(region !== undefined && { region }) }));
  if (fault === "shifted") return finding("readback/block-shifted", { ...facts, by: by ?? 0 }, ...at);
  if (fault === "unknown") return finding(profiled ? "readback/differs" : "readback/differs-undescribed", facts, ...at);
  // Erased or half erased places of a unit that nobody described may be places that it writes itself.
  return finding(profiled || fault === "old-content" ? codes[fault] : "readback/differs-undescribed", facts, ...at);
}

function oneSided(code: "readback/not-read" | "readback/not-meant", role: string, part: OneSidedRegion): Finding {
  const { region, bytes, first } = part;
  return finding(
    code,
    { region, bytes, first: first.start },
    { role, span: first, ...(region !== undefined && { region }) },
  );
}
