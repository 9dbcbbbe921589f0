/**
 * The identification data of a unit by number and name, as ISO 14229-1 (2013 and 2020) has them in F180 to F19F. The
 * standard's own form of a name has "DataIdentifier" behind it.
 */
export const dataIdentifiers = {
  F180: "BootSoftwareIdentification",
  F181: "applicationSoftwareIdentification",
  F182: "applicationDataIdentification",
  F183: "bootSoftwareFingerprint",
  F184: "applicationSoftwareFingerprint",
  F185: "applicationDataFingerprint",
  F186: "ActiveDiagnosticSession",
  F187: "vehicleManufacturerSparePartNumber",
  F188: "vehicleManufacturerECUSoftwareNumber",
  F189: "vehicleManufacturerECUSoftwareVersionNumber",
  F18A: "systemSupplierIdentifier",
  F18B: "ECUManufacturingDate",
  F18C: "ECUSerialNumber",
  F18D: "supportedFunctionalUnits",
  F18E: "VehicleManufacturerKitAssemblyPartNumber",
  F18F: "RegulationXSoftwareIdentificationNumbers", // since the edition of 2020
  F190: "VIN",
  F191: "vehicleManufacturerECUHardwareNumber",
  F192: "systemSupplierECUHardwareNumber",
  F193: "systemSupplierECUHardwareVersionNumber",
  F194: "systemSupplierECUSoftwareNumber",
  F195: "systemSupplierECUSoftwareVersionNumber",
  F196: "exhaustRegulationOrTypeApprovalNumber",
  F197: "systemNameOrEngineType",
  F198: "repairShopCodeOrTesterSerialNumber",
  F199: "programmingDate",
  F19A: "calibrationRepairShopCodeOrCalibrationEquipmentSerialNumber",
  F19B: "calibrationDate",
  F19C: "calibrationEquipmentSoftwareNumber",
  F19D: "ECUInstallationDate",
  F19E: "ODXFile",
  F19F: "Entity",
} as const satisfies Readonly<Record<string, string>>;

const byName: ReadonlyMap<string, string> = new Map(
  Object.entries(dataIdentifiers).map(([number, name]) => [name.toLowerCase(), number]),
);

/**
 * The four capital digits of the identifier that `text` means: a number, with 0x before it or without, or a name of the
 * standard in either case, with "DataIdentifier" behind it or without. Undefined when it means none. A number outside
 * F180 to F19F is the maker's own: only a profile says what it holds.
 */
export function dataIdentifierOf(text: string): string | undefined {
  const number = /^(?:0[xX])?([0-9a-fA-F]{4})$/.exec(text)?.[1];
  return number?.toUpperCase() ?? byName.get(text.toLowerCase().replace(/dataidentifier$/, ""));
}

/** The identifier as people read it: its number, with the standard's name where it has one. */
export function dataIdentifierText(number: string): string {
  const name = Object.hasOwn(dataIdentifiers, number) ? dataIdentifiers[number as keyof typeof dataIdentifiers] : "";
  return name === "" ? number : `${number} ${name}`;
}
