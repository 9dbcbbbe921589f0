import type { BootStanding, HardwareStanding, SizeStanding } from "../compare/donor.js";
import type { Plan } from "../compose/plan.js";
import { finding } from "../findings/catalogue.js";
import { type Judgement, judgement } from "./rule.js";

/** What the numbers on the donor's board amount to. */
export function judgeHardware({ standing, source, donor, accepted, at }: HardwareStanding): Judgement {
  const place = { role: "donor", ...(at && { span: at }) };
  if (source === undefined || donor === undefined) {
    return judgement(
      [],
      [
        ...(source === undefined ? [finding("donor/hardware-untold", { unit: "source" }, { role: "source" })] : []),
        ...(donor === undefined ? [finding("donor/hardware-untold", { unit: "donor" }, { role: "donor" })] : []),
      ],
    );
  }
  switch (standing) {
    case "same":
      return judgement([], []);
    case "listed":
      return judgement([], [], [finding("donor/hardware-listed", { source, donor }, place)]);
    case "superseding":
      return judgement([], [], [finding("donor/hardware-superseding", { source, donor }, place)]);
    default:
      return judgement([finding("donor/hardware-refused", { source, donor, accepted }, place)], []);
  }
}

/** Whether both parts are of one size. */
export function judgeSize({ standing, source, donor }: SizeStanding): Judgement {
  return judgement(
    standing === "different" ? [finding("donor/part-size-differs", { source, donor }, { role: "donor" })] : [],
    standing === "untold" ? [finding("donor/part-size-untold", {})] : [],
  );
}

/** Whether the boot software that the unit ends up with starts the software that it ends up with. */
export function judgeBoot({ standing, source, donor, software, starts, at }: BootStanding, { parts }: Plan): Judgement {
  const boots = parts.filter(({ role }) => role === "boot");
  if (boots.length === 0) return { outcome: "not-applicable", because: "the profile has no boot region" };
  const place = { role: "donor", ...(at && { span: at }) };
  if (boots.every(({ origin }) => origin === "source")) {
    const notes = standing === "same" ? [] : [finding("donor/boot-carried", { version: source, donor }, place)];
    return judgement([], [], notes);
  }
  const version = donor ?? "";
  const program = software ?? "";
  switch (standing) {
    case "same":
      return judgement([], []);
    case "accepts":
      return judgement([], [], [finding("donor/boot-kept", { version, software: program, source }, place)]);
    case "refuses":
      return judgement([finding("donor/boot-refuses", { version, software: program, starts }, place)], []);
    case "changed":
      return judgement([finding("donor/boot-changed", { version }, place)], []);
    case "unlisted":
      return judgement([], [finding("donor/boot-unlisted", { version, software: program }, place)]);
    default:
      return judgement([], [finding("donor/boot-untold", {}, place)]);
  }
}
