import { latin1 } from "../bytes/text.js";
import type { Image } from "../image/image.js";
import { type CheckDigitStanding, checkDigitStanding, roadNumberProblem } from "./machine-number.js";

/** A number of a road vehicle that stands in a memory as plain text. It concerns an owner: reports mask it when asked to. */
export interface FoundMachineNumber {
  readonly number: string;
  /** Where it stands, in order; the first few when there are many. */
  readonly addresses: readonly number[];
  /** How often it stands there in all. */
  readonly count: number;
  readonly checkDigit: CheckDigitStanding;
}

/** What was found, the surest first, and whether there was more than is listed. */
export interface FoundMachineNumbers {
  readonly found: readonly FoundMachineNumber[];
  readonly more: boolean;
}

const length = 17;
const mostListed = 16;
const mostAddresses = 8;
/** Candidates that are kept in mind: an image made of nothing else would hold one in every 18 bytes. */
const mostCandidates = 4096;

/** Which bytes occur in such numbers (ISO 3779), and which belong to a longer word: there a run is cut out of it. */
const allowed = Uint8Array.from({ length: 256 }, (_, byte) =>
  isIn("0123456789ABCDEFGHJKLMNPRSTUVWXYZ", byte) ? 1 : 0,
);
const joining = Uint8Array.from({ length: 256 }, (_, byte) => (isIn("IOQabcdefghijklmnopqrstuvwxyz", byte) ? 1 : 0));

function isIn(characters: string, byte: number): boolean {
  return characters.includes(String.fromCharCode(byte));
}

/**
 * The numbers of road vehicles in `image`, without a profile: words of exactly 17 allowed characters with both letters
 * and digits in them, of which the last four are digits (ISO 3779, that from memory), and that either carry a check digit
 * that holds or stand there more than once. A number of a market without check digit that stands there once is not found,
 * nor is one that touches other letters or digits.
 */
export function findMachineNumbers(image: Image): FoundMachineNumbers {
  const candidates = new Map<string, { readonly addresses: number[]; count: number }>();
  let more = false;
  for (const { address, bytes } of image.segments) {
    for (let at = 0; at < bytes.length; ) {
      if (!allowed[bytes[at] as number]) {
        at++;
        continue;
      }
      const start = at;
      while (at < bytes.length && allowed[bytes[at] as number]) at++;
      if (at - start !== length || isJoining(bytes[start - 1]) || isJoining(bytes[at])) continue;
      const number = latin1(bytes.subarray(start, at));
      if (!isPlausible(number)) continue;
      const seen = candidates.get(number);
      if (seen) {
        seen.count++;
        if (seen.addresses.length < mostAddresses) seen.addresses.push(address + start);
      } else if (candidates.size < mostCandidates) {
        candidates.set(number, { addresses: [address + start], count: 1 });
      } else more = true;
    }
  }
  const found = [...candidates]
    .map(([number, seen]) => ({ number, ...seen, checkDigit: checkDigitStanding(number) }))
    .filter(({ count, checkDigit }) => checkDigit === "holds" || count > 1)
    .sort((a, b) => rank(b) - rank(a) || b.count - a.count || (a.addresses[0] ?? 0) - (b.addresses[0] ?? 0));
  return { found: found.slice(0, mostListed), more: more || found.length > mostListed };
}

function isJoining(byte: number | undefined): boolean {
  return byte !== undefined && joining[byte] === 1;
}

function isPlausible(number: string): boolean {
  return (
    roadNumberProblem(number) === undefined &&
    /[A-Z]/.test(number) &&
    /[0-9]{4}$/.test(number) &&
    new Set(number).size >= 5
  );
}

function rank({ checkDigit }: { readonly checkDigit: CheckDigitStanding }): number {
  return checkDigit === "holds" ? 2 : checkDigit === "fails" ? 0 : 1;
}
