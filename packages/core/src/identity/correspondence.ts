import type { Meaning } from "../profile/schema/field.js";

/** How sure it is that what a tester reads there is what a field of that meaning holds. */
export type Certainty = "same" | "open";

/** What a diagnostic tester asks for, and the meaning that the answer has or may have. */
export interface Correspondence {
  /** A data identifier of ISO 14229-1, or the calibration identification of SAE J1979 / ISO 15031-5. */
  readonly identifier: string;
  readonly meaning: Meaning;
  readonly certainty: Certainty;
  /** Where the correspondence comes from, and what leaves it open. */
  readonly source: string;
}

export const calibrationIdentification = "calibration-identification";

/**
 * By the names that ISO 14229-1 gives to its identifiers. Not listed is what has no meaning here: versions beside a
 * number (F189, F193, F195), the number of a kit (F18E), dates, testers and workshops.
 */
export const correspondences = [
  {
    identifier: "F180",
    meaning: "boot-version",
    certainty: "open",
    source: "ISO 14229-1: bootSoftwareIdentification; whether number or version is the maker's choice",
  },
  {
    identifier: "F181",
    meaning: "software-number",
    certainty: "open",
    source: "ISO 14229-1: applicationSoftwareIdentification; the maker's or the supplier's number, or several",
  },
  {
    identifier: "F182",
    meaning: "calibration-number",
    certainty: "open",
    source: "ISO 14229-1: applicationDataIdentification; number or other identification, or several",
  },
  {
    identifier: "F187",
    meaning: "part-number",
    certainty: "same",
    source: "ISO 14229-1: vehicleManufacturerSparePartNumber; the part as it is ordered, not its hardware",
  },
  {
    identifier: "F188",
    meaning: "software-number",
    certainty: "same",
    source: "ISO 14229-1: vehicleManufacturerECUSoftwareNumber",
  },
  { identifier: "F18C", meaning: "serial-number", certainty: "same", source: "ISO 14229-1: ECUSerialNumber" },
  { identifier: "F190", meaning: "machine-number", certainty: "same", source: "ISO 14229-1: VIN" },
  {
    identifier: "F191",
    meaning: "hardware-number",
    certainty: "same",
    source: "ISO 14229-1: vehicleManufacturerECUHardwareNumber",
  },
  {
    identifier: "F192",
    meaning: "hardware-number",
    certainty: "open",
    source: "ISO 14229-1: systemSupplierECUHardwareNumber; another number than the vehicle maker's",
  },
  {
    identifier: "F194",
    meaning: "software-number",
    certainty: "open",
    source: "ISO 14229-1: systemSupplierECUSoftwareNumber; another number than the vehicle maker's",
  },
  {
    identifier: calibrationIdentification,
    meaning: "calibration-number",
    certainty: "open",
    source:
      "SAE J1979 / ISO 15031-5, service 09, information type 04; one for each calibration, its form is the maker's",
  },
] as const satisfies readonly Correspondence[];

/** What may answer for `meaning`, without what a profile says. */
export function identifiersOf(meaning: Meaning): readonly Correspondence[] {
  return correspondences.filter((one) => one.meaning === meaning);
}
