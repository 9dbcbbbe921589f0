import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { ChecksumFacts } from "../../src/checksums/facts.js";
import { measureChecksums } from "../../src/checksums/measure.js";
import { Image } from "../../src/image/image.js";
import { loadProfile } from "../../src/profile/load.js";
import type { Profile } from "../../src/profile/schema/profile.js";
import { describeUnit } from "../../src/unit/unit.js";

const vectors = new URL("../../../../test-vectors/", import.meta.url);

/** A file of the test vectors. */
export function vectorFile(path: string): Uint8Array {
  return new Uint8Array(readFileSync(new URL(path, vectors)));
}

/** The profile of a published format, by its file's name. */
export function publishedProfile(name: string): Profile {
  return loadProfile(new TextDecoder().decode(vectorFile(`profiles/${name}.json`)));
}

/** The image of a raw file, where the profile says that one begins. */
export function rawImage(bytes: Uint8Array, profile: Profile): Image {
  return Image.of([{ address: profile.memory.base, bytes }]);
}

/** The checksums of a raw file. */
export function checksumsOf(bytes: Uint8Array, profile: Profile): readonly ChecksumFacts[] {
  return measureChecksums(describeUnit(rawImage(bytes, profile), profile));
}

/** Each checksum's name with its status. */
export function statusesOf(facts: readonly ChecksumFacts[]): Record<string, string> {
  return Object.fromEntries(facts.map(({ name, status }) => [name, status]));
}

const cache = fileURLToPath(new URL("../../../../node_modules/.cache/real-images", import.meta.url));
const realImages = process.env.ASSAY_REAL_IMAGES ?? cache;

/** Whether the tests on real images are to run: where the images were fetched, and wherever they must be there. */
export const withRealImages = existsSync(realImages) || process.env.ASSAY_REQUIRE_TOOLS === "1";

/** A real image, by its place among those that `test-vectors/real-images/fetch.sh` fetches. */
export function realImage(path: string): Uint8Array {
  return new Uint8Array(readFileSync(join(realImages, path)));
}
