/** The units of the demonstration, and what was done to some of them. Everything here is invented. */

import { fullPart, SCALARS, smallPart } from "./layout.js";
import type { Memory } from "./memory.js";
import { memoryOf, type Release, storeChecksums, type Unit } from "./unit.js";
import { writeFaults, writeLearnt } from "./wear.js";

const current: Release = { software: "WB40S0318", calibration: "WB40C0318A", engine: "E614" };
const otherMarket: Release = { software: "WB40S0322", calibration: "WB40C0322A", engine: "E614" };
const largerEngine: Release = { software: "WB40S0407", calibration: "WB40C0407B", engine: "E618" };
const early: Release = { software: "WB40S0109", calibration: "WB40C0109C", engine: "E618" };

export const port: Unit = {
  layout: fullPart,
  boot: "2.04",
  release: current,
  market: 4,
  engine: "E614",
  side: "port",
  hardware: "WB40-2170-C",
  part: "WB40-9001-12",
  serial: "0004417203",
  produced: "19980312",
  machine: "WB-HULL-00417",
  commissioned: "19980604",
  worn: "port, first read",
};

export const starboard: Unit = {
  ...port,
  side: "starboard",
  serial: "0004417239",
  produced: "19980313",
  worn: "starboard, first read",
};

/** Out of a sister boat with the larger engine; coded for this boat when it was put in, its software left as it was. */
export const otherBuild: Unit = {
  ...starboard,
  release: largerEngine,
  serial: "0004590118",
  produced: "20000921",
  worn: "other build",
};

/** A used unit of another boat: the same hardware, the software of the larger engine. */
export const donor: Unit = {
  ...port,
  release: largerEngine,
  engine: "E618",
  serial: "0005120466",
  produced: "20010417",
  machine: "WB-HULL-00533",
  commissioned: "20010702",
  worn: "donor",
};

/** Made later and for another market, with a later start code. */
export const laterDonor: Unit = {
  ...donor,
  boot: "3.01",
  release: otherMarket,
  market: 2,
  engine: "E614",
  serial: "0006830054",
  produced: "20041108",
  machine: "WB-HULL-00688",
  commissioned: "20050214",
  worn: "later donor",
};

/** Looks the same; another board inside. */
export const otherHardware: Unit = { ...donor, hardware: "WB40-2180-A", part: "WB40-9002-03", serial: "0005244871" };

/** The generation before, with half the memory. */
export const smallDonor: Unit = {
  ...donor,
  layout: smallPart,
  boot: "1.17",
  release: early,
  hardware: "WB40-1170-B",
  part: "WB40-8001-07",
  serial: "0002090717",
  produced: "19950822",
  machine: "WB-HULL-00236",
  commissioned: "19951130",
  worn: "small donor",
};

/** Two more boats with their pairs: the one with the larger engine, the other with the software of the first boat. */
export const secondBoat = pairOf({
  ...port,
  release: largerEngine,
  engine: "E618",
  serial: "0005120466",
  produced: "20010417",
  machine: "WB-HULL-00533",
  commissioned: "20010702",
  worn: "second boat, port",
});
export const thirdBoat = pairOf({
  ...port,
  serial: "0004990011",
  produced: "20000105",
  machine: "WB-HULL-00777",
  commissioned: "20000301",
  worn: "third boat, port",
});

/** A port unit with its twin, which was made a few days later. */
function pairOf(one: Unit): { readonly port: Unit; readonly starboard: Unit } {
  const serial = String(Number(one.serial) + 41).padStart(10, "0");
  const produced = String(Number(one.produced) + 2);
  return { port: one, starboard: { ...one, side: "starboard", serial, produced, worn: `${one.worn}'s twin` } };
}

/** The memory of `unit` after it has run on for a while. */
export function ranOn(unit: Unit, worn: string): Memory {
  const memory = memoryOf(unit);
  for (const span of [fullPart.adaptation, fullPart.faults]) memory.of(span).fill(0xff);
  writeLearnt(memory, fullPart.adaptation, worn);
  writeFaults(memory, fullPart.faults, worn);
  return memory;
}

/** The byte that raises the torque limit. */
export const CHANGED = fullPart.calibration.start + SCALARS + 4;

/** Starboard with a higher torque limit, the checksum corrected. */
export function withChangedByte(): Memory {
  const memory = memoryOf(starboard);
  memory.put(CHANGED, [(memory.bytes[CHANGED] as number) + 1]);
  storeChecksums(memory);
  return memory;
}
