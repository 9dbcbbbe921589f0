import type { Span } from "./memory.js";

/** Where the parts of a unit's memory lie. `spare` holds the two runs that nothing uses. */
export interface Layout {
  readonly size: number;
  readonly boot: Span;
  readonly program: Span;
  readonly calibration: Span;
  readonly coding: Span;
  readonly bank: Span;
  readonly identity: Span;
  readonly machine: Span;
  readonly immobiliser: Span;
  readonly adaptation: Span;
  readonly faults: Span;
  readonly spare: readonly [Span, Span];
}

/** The same small regions, from the start of the last eighth of the part on. */
function endingIn(size: number, parts: Pick<Layout, "boot" | "program" | "calibration">): Layout {
  const start = parts.calibration.end;
  return {
    size,
    ...parts,
    coding: { start, end: start + 0x400 },
    bank: { start: start + 0x400, end: start + 0x800 },
    identity: { start: start + 0x800, end: start + 0xa00 },
    machine: { start: start + 0xa00, end: start + 0xc00 },
    immobiliser: { start: start + 0xc00, end: start + 0xd00 },
    adaptation: { start: start + 0x2000, end: start + 0x3000 },
    faults: { start: start + 0x3000, end: start + 0x4000 },
    spare: [
      { start: start + 0xd00, end: start + 0x2000 },
      { start: start + 0x4000, end: size },
    ],
  };
}

/** The part that all boats of this family have: 256 KiB. */
export const fullPart = endingIn(0x40000, {
  boot: { start: 0, end: 0x4000 },
  program: { start: 0x4000, end: 0x30000 },
  calibration: { start: 0x30000, end: 0x38000 },
});

/** The part of the family before it: half as large, from the outside the same. */
export const smallPart = endingIn(0x20000, {
  boot: { start: 0, end: 0x4000 },
  program: { start: 0x4000, end: 0x14000 },
  calibration: { start: 0x14000, end: 0x1a000 },
});

/** The settings at this distance from the start of the calibration; the third word is the torque limit. */
export const SCALARS = 0x1000;
