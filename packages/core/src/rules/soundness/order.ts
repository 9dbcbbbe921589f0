import type { Evidence } from "../../findings/areas/soundness/evidence.js";
import type { Correction } from "../../soundness/corrections.js";
import type { ProvedOrder, Statistics } from "../../soundness/measure.js";
import type { Candidate } from "../../soundness/order/candidate.js";
import type { Order } from "../../soundness/order.js";
import { areNumbers, legible, legibleLeast } from "./known-content.js";
import { doubt, evidence, type Symptom, whole } from "./symptom.js";

/** How many times as legible another order must make the content, and by how many deviations of the counts. */
const gainLeast = 1.25;
const deviationsLeast = 8.5;
const deviationsOfHalves = 6.5;
const deviationsInDoubt = 5;
/** Of many pairs of lines one suits a little content by chance. */
const pairsForDataLines = 1600;
const pairsForAddressLines = 1000;
/** How many kinds of pairs must become legible: a habit of numbers is one or two. */
const kindsLeast = 6;
/** The share of pairs of a byte and its complement, which are legible by chance in another order. */
const complementsMost = 0.9;

/** That bytes, bits or lines stand in another order, in which content becomes legible. */
export function orderSymptoms(statistics: Statistics): Symptom[] {
  const { best } = statistics.order;
  if (!best || best.deviations < deviationsInDoubt) return [];
  const { correction, gain, pairs, legibility } = best;
  if (legible(legibility, legibility.across) < legibleLeast) return [];
  const facts = evidence(gain, gainLeast, pairs);
  const { family } = legibility;
  if (isSure(best, statistics.order) && !areNumbers(statistics)) return [inOrder(correction, family, facts)];
  return [doubt("soundness/order-doubtful", { correction: correction.kind, family, ...facts })];
}

/** That so many checksums hold after a correction and none before. */
export function provedSymptoms({ correction, checksums }: ProvedOrder): Symptom[] {
  return [inOrder(correction, "", { ...evidence(checksums, 1, checksums), proof: "checksums" })];
}

function isSure({ correction: { kind }, gain, deviations, pairs }: Candidate, { kinds, complements }: Order): boolean {
  return (
    gain >= gainLeast &&
    deviations >= (kind === "swap-halves-32" ? deviationsOfHalves : deviationsLeast) &&
    pairs >= pairsFor(kind) &&
    kinds >= kindsLeast &&
    complements < complementsMost
  );
}

function pairsFor(kind: Correction["kind"]): number {
  if (kind === "exchange-data-lines") return pairsForDataLines;
  return kind === "exchange-address-lines" ? pairsForAddressLines : 0;
}

/** What has happened to a read that `correction` puts right. */
function inOrder(correction: Correction, family: string, facts: Evidence): Symptom {
  const { kind } = correction;
  switch (kind) {
    case "swap-16":
    case "swap-32":
    case "swap-halves-32":
      return whole("soundness/bytes-swapped", { layout: kind, family, ...facts });
    case "interleave":
    case "interleave-16":
    case "separate":
    case "separate-16":
      return whole("soundness/parts-joined", { correction: kind, family, ...facts });
    case "exchange-data-lines": {
      const { bus, first, second } = correction;
      return whole("soundness/data-lines-exchanged", { bus, first, second, ...facts });
    }
    case "exchange-address-lines": {
      const { first, second } = correction;
      return whole("soundness/address-lines-exchanged", { first, second, ...facts });
    }
    default:
      return whole("soundness/bits-rearranged", { correction: kind, family, ...facts });
  }
}
