import * as z from "zod";
import { condition, name, range, statement } from "./quantity.js";

/** What the bytes of a region are for. */
export const roles = [
  "boot",
  "program",
  "calibration",
  "coding",
  "adaptation",
  "immobiliser",
  "faults",
  "identity",
  "spare",
] as const;
export type Role = (typeof roles)[number];

/** Roles whose bytes a unit writes by itself: any two reads of it may differ there. Common practice, no source. */
export const volatileRoles: readonly Role[] = ["adaptation", "faults"];

/** Roles whose content decides what a machine does: without it a unit does not run, or runs as something else. */
export const neededRoles: readonly Role[] = ["boot", "program", "calibration", "coding"];

/** Roles of what belongs to an owner. */
export const ownedRoles: readonly Role[] = ["immobiliser", "identity"];

/** Roles whose content may be left out: the unit does without it, or makes it anew. */
export const erasableRoles: readonly Role[] = [...volatileRoles, "spare"];

/** A named part of the memory, of one span or several. */
export const regionSchema = z
  .strictObject({
    name,
    role: z.enum(roles),
    title: z.string().max(80).optional(),
    over: z.array(range).min(1).max(64),
    when: condition.optional(),
    ...statement,
  })
  .meta({ id: "region" });

export type Region = z.output<typeof regionSchema>;
