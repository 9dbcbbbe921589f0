import type { Problem } from "../profile/check.js";
import { dataIdentifierOf, dataIdentifierText } from "./data-identifiers.js";
import type { JobSheet, UnitSheet } from "./schema.js";

/** What does not hold together in a job sheet whose shape is right: sides and identifiers that are there twice. */
export function checkJobSheet(sheet: JobSheet): Problem[] {
  return [
    ...sideProblems(sheet),
    ...sheet.units.flatMap((unit, i) => identifierProblems(unit, `units[${i}]`)),
    ...(sheet.donor ? identifierProblems(sheet.donor, "donor") : []),
  ];
}

function sideProblems({ units }: JobSheet): Problem[] {
  const seen = new Set<string>();
  return units.flatMap(({ side }, i): Problem[] => {
    if (side === undefined) {
      const message = "expected a side for each of several units, got none";
      return units.length > 1 ? [{ path: `units[${i}].side`, message }] : [];
    }
    const again = seen.has(side);
    seen.add(side);
    return again ? [{ path: `units[${i}].side`, message: `expected each side once, got ${side} again` }] : [];
  });
}

/** The same identifier by number and by name is one answer written twice: which of the two is right is not known. */
function identifierProblems({ tester }: UnitSheet, path: string): Problem[] {
  const seen = new Map<string, string>();
  return Object.keys(tester?.dataIdentifiers ?? {}).flatMap((key): Problem[] => {
    const number = dataIdentifierOf(key) as string;
    const before = seen.get(number);
    seen.set(number, key);
    if (before === undefined) return [];
    const message = `expected ${dataIdentifierText(number)} once, got it as ${before} too`;
    return [{ path: `${path}.tester.dataIdentifiers.${key}`, message }];
  });
}
