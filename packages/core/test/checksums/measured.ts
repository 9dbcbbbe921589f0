import type { ChecksumFacts } from "../../src/checksums/facts.js";
import { measureChecksums } from "../../src/checksums/measure.js";
import { Image } from "../../src/image/image.js";
import { loadProfile } from "../../src/profile/load.js";
import type { Profile } from "../../src/profile/schema/profile.js";
import { describeUnit } from "../../src/unit/unit.js";

/** A profile with these checksums over one region of 64 KiB from 0, and whatever else is given. Invented. */
export function profileWith(checksums: readonly object[], more: object = {}): Profile {
  return loadProfile(
    JSON.stringify({
      profile: "assay.profile/1",
      id: "invented",
      title: "Invented unit",
      source: "invented",
      memory: {},
      regions: [{ name: "all", role: "program", over: [{ start: 0, length: "64K" }] }],
      checksums: checksums.map((checksum, i) => ({ name: `check-${String.fromCharCode(97 + i)}`, ...checksum })),
      ...more,
    }),
  );
}

export function imageOf(bytes: ArrayLike<number>, address = 0): Image {
  return Image.of([{ address, bytes: Uint8Array.from(bytes) }]);
}

/** The facts of one checksum in an image. */
export function measureOne(checksum: object, image: Image, more: object = {}): ChecksumFacts {
  const [facts, ...others] = measureChecksums(describeUnit(image, profileWith([checksum], more)));
  if (!facts || others.length > 0) throw new Error(`expected the facts of one checksum, got ${others.length + 1}`);
  return facts;
}

/** `ranges` without those that meet one before them: what a checksum may cover. */
export function apart<Range extends { readonly start: number; readonly length: number }>(
  ranges: readonly Range[],
): Range[] {
  const meets = (a: Range, b: Range) => a.start < b.start + b.length && b.start < a.start + a.length;
  return ranges.filter((range, i) => !ranges.slice(0, i).some((earlier) => meets(earlier, range)));
}

/** Bytes that look like content: the same for the same seed (a linear congruential generator of Numerical Recipes). */
export function content(length: number, seed = 1): Uint8Array {
  let state = seed >>> 0;
  return Uint8Array.from({ length }, () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state >>> 24;
  });
}
