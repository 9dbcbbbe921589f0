import type { Coverage } from "../checksums/coverage.js";
import type { ChecksumFacts } from "../checksums/facts.js";
import type { Fingerprint } from "../fingerprint/fingerprint.js";
import { isNeverShown } from "../profile/schema/field.js";
import type { ReportChecksum, ReportImage } from "../report/schema.js";
import { reportSpan } from "../report/span.js";
import type { Unit } from "../unit/unit.js";

/** What was measured of a unit besides its places. */
interface Measured {
  readonly checksums: readonly ChecksumFacts[];
  readonly fingerprints: readonly Fingerprint[];
  readonly coverage: Coverage;
}

/** The unit that plays `role`, as a report has it. */
export function reportImageOf(role: string, unit: Unit, { checksums, fingerprints, coverage }: Measured): ReportImage {
  const { checksummed, described } = coverage;
  return {
    role,
    identity: identityOf(unit),
    checksums: checksums.map(reportChecksum),
    ...reportFingerprints(fingerprints),
    coverage: { checksummed, described },
    regions: unit.regions.map(({ name, role: purpose, spans }) => ({
      name,
      role: purpose,
      spans: spans.map(reportSpan),
    })),
  };
}

/** Values by field name. */
function identityOf(unit: Unit): Record<string, string> {
  return Object.fromEntries(
    unit.fields.flatMap((reading) =>
      "shown" in reading && !isNeverShown(reading.field) ? [[reading.field.name, reading.shown]] : [],
    ),
  );
}

function reportChecksum({
  name,
  algorithm,
  status,
  stored,
  computed,
  covered,
  storedAt,
}: ChecksumFacts): ReportChecksum {
  return {
    name,
    algorithm,
    status,
    stored: stored ?? null,
    computed: computed ?? null,
    range: covered.map(reportSpan),
    ...(storedAt && { at: reportSpan(storedAt) }),
  };
}

function reportFingerprints(computed: readonly Fingerprint[]) {
  const by = (value: (one: (typeof computed)[number]) => string) =>
    Object.fromEntries(computed.map((one) => [one.part, value(one)]));
  return {
    fingerprints: by(({ digest }) => digest),
    recipes: by(({ recipe }) => recipe),
    shortFingerprints: by(({ readable }) => readable),
  };
}
