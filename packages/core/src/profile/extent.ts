import type { Span } from "../bytes/span.js";
import type { Profile } from "./schema/profile.js";

/** The memory's extent, when the profile allows one size only. */
export function extentOf(profile: Profile): Span | undefined {
  const { base } = profile.memory;
  const [size, ...more] = sizesOf(profile);
  return size !== undefined && more.length === 0 ? { start: base, end: base + size } : undefined;
}

/** The largest memory that the profile allows; undefined when it does not say. */
export function largestMemory(profile: Profile): Span | undefined {
  const { base } = profile.memory;
  const sizes = sizesOf(profile);
  return sizes.length > 0 ? { start: base, end: base + Math.max(...sizes) } : undefined;
}

/** The sizes that the profile allows, in bytes; none when it does not say. */
export function sizesOf(profile: Profile): readonly number[] {
  const { size } = profile.memory;
  return size === undefined ? [] : Array.isArray(size) ? size : [size];
}
