import { supersededFrom } from "../hardware.js";
import { comparableNumber, comparableWord } from "../number.js";
import type { DonorRules } from "../schema/donor.js";
import type { Profile } from "../schema/profile.js";
import { erasableRoles } from "../schema/region.js";
import type { Problem } from "./problem.js";

/** Origins that no region of that role can have, hardware and boot versions that say nothing or contradict themselves. */
export function donorProblems(profile: Profile): Problem[] {
  const { donor } = profile;
  if (!donor) return [];
  return [
    ...regionProblems(donor, profile),
    ...hardwareProblems(donor),
    ...bootProblems(donor),
    ...expectedProblems(donor),
  ];
}

function regionProblems({ regions }: DonorRules, profile: Profile): Problem[] {
  const seen = new Set<string>();
  return regions.flatMap(({ region, origin }, i): Problem[] => {
    const problems: Problem[] = [];
    if (seen.has(region)) {
      problems.push({ path: `donor.regions[${i}].region`, message: `expected each region once, got ${region} again` });
    }
    seen.add(region);
    const role = profile.regions.find(({ name }) => name === region)?.role;
    if (origin !== "erased" || !role) return problems;
    const path = `donor.regions[${i}].origin`;
    if (!erasableRoles.includes(role)) {
      problems.push({ path, message: `expected source or donor for a region of role ${role}, got erased` });
    } else if (profile.memory.erased === undefined) {
      problems.push({ path, message: "expected memory.erased beside an origin of erased, got none" });
    }
    return problems;
  });
}

function hardwareProblems({ hardware }: DonorRules): Problem[] {
  return hardware.flatMap(({ number, takes = [], supersedes = [] }, i): Problem[] => {
    const here = `donor.hardware[${i}]`;
    if (takes.length === 0 && supersedes.length === 0) {
      return [{ path: here, message: "expected takes, supersedes or both, got neither" }];
    }
    const stated = [
      [`${here}.number`, number] as const,
      ...takes.map((one, j) => [`${here}.takes[${j}]`, one] as const),
      ...supersedes.map((one, j) => [`${here}.supersedes[${j}]`, one] as const),
    ];
    const empty = stated.flatMap(([path, one]) => nothingIn(path, one));
    const circle = supersededFrom(hardware, number).has(comparableNumber(number));
    return [
      ...empty,
      ...(circle
        ? [{ path: `${here}.supersedes`, message: `expected hardware that does not supersede itself, got ${number}` }]
        : []),
    ];
  });
}

function bootProblems({ boot }: DonorRules): Problem[] {
  const seen = new Set<string>();
  return boot.flatMap(({ version, starts }, i): Problem[] => {
    const here = `donor.boot[${i}]`;
    const key = comparableWord(version);
    const again = seen.has(key);
    seen.add(key);
    return [
      ...(again ? [{ path: `${here}.version`, message: `expected each version once, got ${version} again` }] : []),
      ...(key === "" ? [{ path: `${here}.version`, message: "expected letters or digits, got none" }] : []),
      ...starts.flatMap((one, j) => nothingIn(`${here}.starts[${j}]`, one)),
    ];
  });
}

/** Where it is said which hardware a donor must be, nothing is left for the rules that relate hardware to hardware. */
function expectedProblems({ expects, hardware }: DonorRules): Problem[] {
  const seen = new Set<string>();
  return expects.flatMap(({ name, means, oneOf }, i): Problem[] => {
    const here = `donor.expects[${i}]`;
    const again = seen.has(name);
    seen.add(name);
    const both = means === "hardware-number" && hardware.length > 0;
    return [
      ...(again ? [{ path: `${here}.name`, message: `expected each name once, got ${name} again` }] : []),
      ...(both
        ? [{ path: `${here}.means`, message: "expected no donor.hardware beside hardware-number, got both" }]
        : []),
      ...oneOf.flatMap((one, j) => nothingIn(`${here}.oneOf[${j}]`, one)),
    ];
  });
}

function nothingIn(path: string, number: string): Problem[] {
  return comparableNumber(number) === ""
    ? [{ path, message: `expected letters or digits, got ${JSON.stringify(number)}` }]
    : [];
}
