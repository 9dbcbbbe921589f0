import { MEMORY_END } from "../../bytes/span.js";
import { isFindingCode } from "../../findings/catalogue.js";
import { sizesOf } from "../extent.js";
import { MEMORY_LIMIT, type Profile } from "../schema/profile.js";
import type { Problem } from "./problem.js";

/** Sizes that no memory has, and holes read as something that is not stated. */
export function memoryProblems(profile: Profile): Problem[] {
  const { memory } = profile;
  const problems: Problem[] = [];
  for (const size of sizesOf(profile)) {
    if (size < 1 || size > MEMORY_LIMIT) {
      problems.push({ path: "memory.size", message: `expected 1 to ${MEMORY_LIMIT} bytes, got ${size}` });
    } else if (memory.base + size > MEMORY_END) {
      problems.push({ path: "memory.size", message: `expected the memory to end by 2**32, got ${memory.base + size}` });
    }
  }
  if (memory.holes === "erased" && memory.erased === undefined) {
    problems.push({ path: "memory.holes", message: 'expected memory.erased beside holes: "erased", got none' });
  }
  return problems;
}

/** Severities raised for codes that do not exist. */
export function raiseProblems({ raise }: Profile): Problem[] {
  return Object.keys(raise)
    .filter((code) => !isFindingCode(code))
    .map((code) => ({ path: `raise.${code}`, message: `expected the code of a finding, got ${code}` }));
}
