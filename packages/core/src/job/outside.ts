import type { Build } from "../profile/schema/release.js";
import { dataIdentifierOf } from "./data-identifiers.js";
import type { JobSheet, Label, Machine, TesterCalibration, UnitSheet } from "./schema.js";

/** What is known from outside of one unit. */
export interface Outside {
  readonly label: Label;
  /** The tester's answers by the four capital digits of the data identifier. */
  readonly answers: ReadonlyMap<string, readonly string[]>;
  /** The tester's other answers, by the names of the profile's expectations. */
  readonly identifications: ReadonlyMap<string, readonly string[]>;
  /** Service 09, information type 02. */
  readonly answeredMachineNumber: string | undefined;
  readonly calibrations: readonly TesterCalibration[];
  /** The number of the machine that the unit belongs to; undefined for a donor, which comes from another machine. */
  readonly machineNumber: string | undefined;
  /** The build of that machine; undefined as above, or when the sheet does not state one. */
  readonly build: Build | undefined;
  /** Whether the sheet says that the machine is a road vehicle. */
  readonly road: boolean;
}

/**
 * What `sheet` says of the machine's unit on `side`: of its only unit when the sheet names no side for it. Undefined when
 * it says nothing of such a unit, nor of the machine.
 */
export function outsideOfUnit(sheet: JobSheet, side?: string): Outside | undefined {
  const unit = sheetUnit(sheet, side);
  const { machine } = sheet;
  return unit || machine ? outsideOf(unit ?? {}, machine?.road ?? false, machine) : undefined;
}

/** The entry of the machine's unit on `side`: of its only unit when the sheet names no side for it. */
export function sheetUnit({ units }: JobSheet, side?: string): UnitSheet | undefined {
  const only = units.length === 1 ? units[0] : undefined;
  if (side === undefined) return only;
  return units.find((one) => one.side === side) ?? (only?.side === undefined ? only : undefined);
}

/** What `sheet` says of the donor; undefined when it says nothing. */
export function outsideOfDonor(sheet: JobSheet): Outside | undefined {
  return sheet.donor && outsideOf(sheet.donor, sheet.machine?.road ?? false);
}

/** The build that a release must be for, when it is to run in the machine's unit on `side`; undefined when the sheet has none. */
export function buildFor(sheet: JobSheet, side?: string): Build | undefined {
  const build = sheet.machine?.build;
  return build && side !== undefined && !Object.hasOwn(build, "side") ? { ...build, side } : build;
}

function outsideOf({ label, tester }: UnitSheet, road: boolean, machine?: Machine): Outside {
  const answers = Object.entries(tester?.dataIdentifiers ?? {});
  return {
    label: label ?? {},
    answers: new Map(answers.map(([key, values]) => [dataIdentifierOf(key) as string, values])),
    identifications: new Map(Object.entries(tester?.identifications ?? {})),
    answeredMachineNumber: tester?.machineNumber,
    calibrations: tester?.calibrations ?? [],
    machineNumber: machine?.number,
    build: machine?.build,
    road,
  };
}
