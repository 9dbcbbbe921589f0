import type { BootStanding, HardwareStanding, SizeStanding } from "../compare/donor.js";
import type { ExpectationStanding } from "../compare/expectations.js";
import type { Plan } from "../compose/plan.js";
import { finding } from "../findings/catalogue.js";
import { toldOf } from "./identity.js";
import { type Judgement, judgement } from "./rule.js";

/** What the numbers on the donor's board amount to. */
export function judgeHardware({ standing, source, donor, accepted, at }: HardwareStanding): Judgement {
  if (standing === "expected") {
    return { outcome: "not-applicable", because: "the profile says which hardware it expects of a donor" };
  }
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

/** What a donor must say of itself before it is written, and what it says. */
export function judgeExpectations(standings: readonly ExpectationStanding[]): Judgement {
  if (standings.length === 0)
    return { outcome: "not-applicable", because: "nothing is expected of a donor beforehand" };
  const of = (standing: ExpectationStanding["standing"]) => standings.filter((one) => one.standing === standing);
  const facts = ({ expected: { name, means, oneOf }, told }: ExpectationStanding) => ({
    name,
    meaning: means,
    oneOf,
    told: told.map(toldOf),
  });
  const places = ({ told }: ExpectationStanding) => {
    const spans = told.flatMap(({ span }) => (span ? [{ role: "donor", span }] : []));
    return spans.length > 0 ? spans : [{ role: "donor" }];
  };
  return judgement(
    of("missed").map((one) => finding("donor/expectation-missed", facts(one), ...places(one))),
    [
      ...of("open").map((one) => finding("donor/expectation-open", facts(one), ...places(one))),
      ...of("untold").map((one) => finding("donor/expectation-untold", facts(one), ...places(one))),
    ],
    of("met").map((one) => finding("donor/expectation-met", facts(one), ...places(one))),
  );
}

/** Whether both parts are of one size. */
export function judgeSize({ standing, source, donor }: SizeStanding): Judgement {
  if (standing === "source-unlisted") {
    return { outcome: "not-applicable", because: "the read of the source has no size that the profile allows" };
  }
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
