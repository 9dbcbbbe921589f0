import { comparableNumber, sameNumber } from "./number.js";
import type { Release, Superseded } from "./schema/release.js";

/** A release as people name it: its software number, with the calibration number where it has one. */
export function releaseName({ software, calibration }: Pick<Release, "software" | "calibration">): string {
  return calibration === undefined ? software : `${software} with calibration ${calibration}`;
}

/** The same text for the same numbers, however they are grouped. */
export function releaseKey({ software, calibration }: Pick<Release, "software" | "calibration">): string {
  return `${comparableNumber(software)} ${calibration === undefined ? "" : comparableNumber(calibration)}`;
}

/** Whether `superseded` speaks of `release`: a number alone speaks of every calibration of that software. */
export function speaksOf(superseded: Superseded, release: Release): boolean {
  if (typeof superseded === "string") return sameNumber(superseded, release.software);
  return (
    sameNumber(superseded.software, release.software) &&
    release.calibration !== undefined &&
    sameNumber(superseded.calibration, release.calibration)
  );
}
