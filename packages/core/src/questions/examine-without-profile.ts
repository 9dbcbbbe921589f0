import type { Accelerators } from "../algorithms/algorithm.js";
import { finding } from "../findings/catalogue.js";
import { contentDigest } from "../fingerprint/content.js";
import { findMachineNumbers } from "../identity/find-machine-numbers.js";
import { privateValues } from "../identity/private.js";
import type { Image } from "../image/image.js";
import { damageOf } from "../rules/consequences.js";
import { fileRules } from "../rules/file.js";
import { foundMachineNumberRules } from "../rules/identity.js";
import { ask, judgement } from "../rules/rule.js";
import { isSound } from "../rules/soundness/cause.js";
import { soundnessRules } from "../rules/soundness.js";
import type { Examined } from "./examine.js";
import type { InputFile } from "./input.js";
import { soundnessOfRead } from "./soundness-facts.js";

/** Looks at one file of which no profile says anything. */
export function examineWithoutProfile(
  input: InputFile,
  { digest }: Accelerators = {},
  soundRead?: Image,
): Pick<Examined, "checks" | "image" | "sound" | "damage" | "privateValues"> {
  const { role, decoded } = input;
  const numbers = findMachineNumbers(decoded.image);
  const soundness = soundnessOfRead(decoded, soundRead);
  const content = contentDigest(decoded.image, digest);
  return {
    checks: [
      ...ask(fileRules, role, { findings: decoded.findings }),
      ...ask(soundnessRules, role, soundness),
      ...ask(foundMachineNumberRules, role, numbers),
      { rule: "unit/profile-given", subject: role, judgement: judgement([], [finding("unit/profile-absent", {})]) },
    ],
    image: {
      role,
      identity: {},
      checksums: [],
      fingerprints: content === undefined ? {} : { content },
      coverage: { checksummed: 0, described: 0 },
    },
    sound: isSound(soundness.cause),
    damage: damageOf(soundness),
    privateValues: privateValues({ found: numbers }),
  };
}
