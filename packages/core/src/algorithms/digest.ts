import { sha1 } from "@noble/hashes/legacy.js";
import { sha256 } from "@noble/hashes/sha2.js";

/** The hashes that there are, by their names in FIPS 180-4. */
export type HashName = "SHA-1" | "SHA-256";

/** A hash under way. What Node's `createHash` gives is one, so is what `portableDigest` gives. */
export interface Hashing {
  update(bytes: Uint8Array): unknown;
  /** The same hash so far, going on by itself. */
  copy(): Hashing;
  /** The digest. Nothing may be fed afterwards. */
  digest(): Uint8Array;
}

/** Starts a hash. A platform's own may be handed in wherever one of these is taken: it is faster. */
export type Digest = (name: HashName) => Hashing;

/** Hashes that run everywhere. */
export const portableDigest: Digest = (name) => hashing((name === "SHA-1" ? sha1 : sha256).create());

interface PortableHash {
  update(bytes: Uint8Array): unknown;
  clone(): PortableHash;
  digest(): Uint8Array;
}

function hashing(hash: PortableHash): Hashing {
  return {
    update: (bytes) => hash.update(bytes),
    copy: () => hashing(hash.clone()),
    digest: () => hash.digest(),
  };
}

/** The digest of all `pieces` one after the other. */
export function digestOf(name: HashName, pieces: Iterable<Uint8Array>, digest: Digest = portableDigest): Uint8Array {
  const hash = digest(name);
  for (const piece of pieces) hash.update(piece);
  return hash.digest();
}
