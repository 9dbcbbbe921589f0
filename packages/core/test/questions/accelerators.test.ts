import { createHash } from "node:crypto";
import zlib from "node:zlib";
import { expect, it } from "vitest";
import { askPair } from "../../src/questions/pair.js";
import { fileAt, profileAt } from "./files.js";

it("answers the same with what the platform computes faster", () => {
  const request = {
    left: fileAt("left", "workboat/port.hex.gz"),
    right: fileAt("right", "workboat/starboard-one-byte.bin.gz"),
    version: "0.0.0",
  };
  const used = new Set<string>();
  const accelerators = {
    crc32: (bytes: Uint8Array, before?: number) => {
      used.add("crc32");
      return zlib.crc32(bytes, before);
    },
    digest: (name: string) => {
      used.add(name);
      return createHash(name);
    },
  };
  const profile = profileAt("workboat/profile.json");
  expect(askPair({ ...request, profile, accelerators })).toEqual(askPair({ ...request, profile }));
  expect(askPair({ ...request, accelerators })).toEqual(askPair(request));
  expect([...used].sort()).toEqual(["SHA-256", "crc32"]);
});
