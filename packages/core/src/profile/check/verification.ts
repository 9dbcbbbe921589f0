import { algorithmOf } from "../../algorithms/algorithm.js";
import { Refusal } from "../../findings/refusal.js";
import type { ChecksumRule } from "../schema/checksum.js";
import type { Profile } from "../schema/profile.js";
import type { VerificationRule } from "../schema/verification.js";
import type { Problem } from "./problem.js";

/** A calibration verification number has 4 bytes. SAE J1979 / ISO 15031-5, service 09, information type 06. */
const mostBits = 32;

/** Verification numbers that do not say what is computed, or that come to no number of 4 bytes. */
export function verificationProblems({ verificationNumbers, checksums }: Profile): Problem[] {
  return verificationNumbers.flatMap(({ checksum }, i): Problem[] => {
    const path = `verificationNumbers[${i}].checksum`;
    if (typeof checksum !== "string") {
      const width = widthOf(checksum.algorithm);
      if (typeof width === "string") return [{ path: `${path}.algorithm`, message: width }];
      return width <= mostBits ? [] : [{ path: `${path}.algorithm`, message: tooWide(width) }];
    }
    const named = checksums.find(({ name }) => name === checksum);
    if (!named) return [{ path, message: `expected the name of a checksum, got ${checksum}` }];
    const message = unfit(named);
    return message === undefined ? [] : [{ path, message }];
  });
}

function unfit({ name, algorithm, stored, repeat }: ChecksumRule): string | undefined {
  if (repeat) return `expected a checksum that does not repeat, got ${name}`;
  if (stored.form === "value-and-complement" || stored.form === "whole-comes-to-constant") {
    return `expected a checksum that stores one value, got ${name} with ${stored.form}`;
  }
  const width = stored.bytes === undefined ? widthOf(algorithm) : 8 * stored.bytes;
  return typeof width === "number" && width > mostBits ? tooWide(width) : undefined;
}

function tooWide(width: number): string {
  return `expected a value of at most ${mostBits} bits, got ${width}`;
}

function widthOf(algorithm: ChecksumRule["algorithm"] | Exclude<VerificationRule["checksum"], string>["algorithm"]) {
  try {
    return algorithmOf(algorithm).width;
  } catch (error) {
    if (error instanceof Refusal || error instanceof RangeError) return error.message;
    throw error;
  }
}
