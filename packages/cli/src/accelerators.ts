import { createHash } from "node:crypto";
import zlib from "node:zlib";
import type { Accelerators } from "@assay/core";

/** What Node computes faster than the core, which runs everywhere. */
export const accelerators: Accelerators = {
  crc32: zlib.crc32,
  digest: (name) => createHash(name),
  equal: (first, second) => Buffer.compare(first, second) === 0,
};
