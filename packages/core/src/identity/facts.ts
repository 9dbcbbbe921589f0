import type { Outside } from "../job/outside.js";
import type { StatedNumber } from "../profile/schema/checksum.js";
import type { Unit } from "../unit/unit.js";
import { type MachineNumberReading, measureMachineNumbers } from "./machine-number.js";
import { measureIdentity } from "./measure.js";
import type { IdentityReading } from "./reading.js";
import { type ComputedChecksum, measureVerificationNumbers, type VerificationReadings } from "./verification.js";

/** Everything that image and job sheet say of who a unit is. */
export interface IdentityFacts {
  readonly readings: readonly IdentityReading[];
  readonly machineNumbers: readonly MachineNumberReading[];
  readonly verification: VerificationReadings;
}

/** What `unit`, whose measured checksums these are, and `outside` say. Without a profile there is no unit, only `outside`. */
export function identityFacts(
  unit: Unit | undefined,
  checksums: readonly ComputedChecksum[],
  outside: Outside | undefined,
  stated: readonly StatedNumber[] = [],
): IdentityFacts {
  const readings = measureIdentity(unit, outside, stated);
  return {
    readings,
    machineNumbers: measureMachineNumbers(readings, unit, outside?.road ?? false),
    verification: measureVerificationNumbers(unit, outside?.calibrations ?? [], checksums),
  };
}
