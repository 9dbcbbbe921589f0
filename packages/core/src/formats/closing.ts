import { MEMORY_END } from "../bytes/span.js";
import { type Finding, finding } from "../findings/catalogue.js";
import type { Place } from "../findings/finding.js";
import type { Built, Overlap, Trace } from "../image/builder.js";
import { RUNS_KEPT } from "../image/builder.js";
import type { Origin } from "./decoded.js";

/** What the end of a text file leaves to say of the image: bytes given twice, too many pieces. */
export function builtFindings(built: Built, originOf: (trace: Trace) => Origin): Finding[] {
  const { equal, conflicting, leftOut } = built;
  const findings = conflicting.shown.map((overlap) => conflict(overlap, originOf));
  const { last } = conflicting;
  const further = conflicting.count - conflicting.shown.length;
  if (last && further > 0) {
    findings.push(finding("file/further-damage", { count: further, lastLine: originOf(last.second).line ?? 0 }));
  }
  const [first] = equal.shown;
  if (first) {
    const { count, bytes } = equal;
    findings.push(
      finding(
        "file/overlap-equal",
        { ...overlapFacts(first, originOf), count, bytes },
        ...equal.shown.slice(0, 5).flatMap((overlap) => overlapPlaces(overlap, originOf)),
      ),
    );
  }
  if (leftOut.runs > 0) {
    const lowest = built.image.bounds?.end ?? 0;
    const place = { span: { start: lowest, end: MEMORY_END } };
    findings.push(finding("file/too-scattered", { kept: RUNS_KEPT, ...leftOut }, place));
  }
  return findings;
}

function conflict(overlap: Overlap, originOf: (trace: Trace) => Origin): Finding {
  const { differing, firstDifference, kept, dropped, address } = overlap;
  return finding(
    "file/overlap-conflict",
    { ...overlapFacts(overlap, originOf), differing, at: firstDifference ?? address, kept, dropped },
    ...overlapPlaces(overlap, originOf),
  );
}

function overlapFacts({ address, length, first, second }: Overlap, originOf: (trace: Trace) => Origin) {
  return { address, length, firstLine: originOf(first).line ?? 0, secondLine: originOf(second).line ?? 0 };
}

/** Both records: the one that counts, and the one that came later. */
function overlapPlaces({ address, length, first, second }: Overlap, originOf: (trace: Trace) => Origin): Place[] {
  const span = { start: address, end: address + length };
  return [first, second].map((trace) => {
    const { offset, line } = originOf(trace);
    return { span, offset, ...(line !== undefined && { line }) };
  });
}
