import {
  type BinaryPolynomial,
  bigintOf,
  commonDivisor,
  degreeOf,
  polynomialOf,
  sumOf,
  timesShort,
} from "./binary-polynomial.js";
import { divisorsOf } from "./cofactors.js";
import { Field } from "./field.js";
import type { Site } from "./site.js";
import { differencesOf, type Recovered, valuesOf } from "./unknown-differences.js";
import { endsOf, restOf } from "./unknown-ends.js";
import { differingIn, type Guess, guessesIn } from "./unknown-places.js";
import { type PlacedCrc, type RecoveredCrc, registersOf } from "./unknown-registers.js";

/** So many contents are needed: three differences, of which two are left when the length behind them is eliminated. */
const fewestContents = 4;
const mostContents = 8;
/** Steps of long division, about 1 ns each. */
const mostWork = 1.5e9;
/** When one polynomial is known the family hardly has another. */
const mostWorkMore = 3e8;
/** A range that holds others which are whole comes out right with them and without: so many covers are looked at. */
const mostOthers = 12;
/** What is further than this from being decided is not looked at. */
const spareBits = 8;
/** What a guess costs besides: the differences are looked at. */
const workOfGuess = 2000;
/** Recovered places of one polynomial are enough to tell all of it. */
const enoughPlaces = 8;

/**
 * CRCs of polynomials that nobody told, out of the differences between four or more reads. With A the difference of the
 * messages of two reads from the first to the last byte that differs, and c that of their values, A * X + c is divisible
 * by the polynomial, where X is a power of x that the place of the range's end gives. Of two such pairs of reads
 * A1 * c2 + A2 * c1 is divisible whatever X is: so neither end of the range has to be known, only which differences it
 * covers. The greatest common divisor of two of these is the polynomial times small factors. `taken` are offsets of
 * values that are explained already.
 */
export function recoverCrcs(site: Site, taken: ReadonlySet<number>): RecoveredCrc[] {
  const contents = site.ground.contents.slice(0, mostContents);
  if (contents.length < fewestContents) return [];
  const differing = differingIn(contents);
  const guesses = guessesIn(site, contents, differing, taken).filter(
    ({ bytes, bits }) => bits - spareBits < 8 * bytes * (contents.length - 2),
  );
  const workOf = ({ first, last, bytes }: Guess) => workOfGuess + (8 * (last - first + 1 + bytes)) ** 2 / 64;
  const costOf = (guess: Guess) => guess.bits + Math.log2(workOf(guess)) / 2;
  const found: PlacedCrc[] = [];
  const add = (recovered: Recovered) => {
    const { stored, bytes } = recovered.guess;
    const others = guesses
      .filter((guess) => guess.stored === stored && guess.bytes === bytes && explains(contents, guess, recovered))
      .slice(0, mostOthers);
    const covers = [recovered.guess, ...others].flatMap((guess) => {
      const messages = differencesOf(contents, guess).map((bytes) => polynomialOf(bytes, recovered.reflected));
      const ends = endsOf(site, contents, differing, { ...recovered, guess }, messages);
      return ends.length > 0 ? [{ guess, ends }] : [];
    });
    if (covers.length > 0) found.push({ ...recovered, covers });
  };
  let work = 0;
  for (const guess of guesses.sort((a, b) => costOf(a) - costOf(b))) {
    const each = workOf(guess) * (guess.bytes === 1 ? 2 : 4);
    if (
      work + each > (found.length > 0 ? mostWorkMore : mostWork) ||
      found.some((one) => isExplained(guess, one.guess))
    )
      continue;
    work += each;
    const known = found.filter(({ guess: { bytes } }) => bytes === guess.bytes);
    const again = known.find((one) => explains(contents, guess, one));
    if (again) add({ ...again, guess });
    else for (const recovered of tested(contents, guess)) add(recovered);
    if (found.length >= enoughPlaces) break;
  }
  for (const guess of guesses) {
    if (found.length >= enoughPlaces || found.length === 0) break;
    if (found.some((one) => isExplained(guess, one.guess))) continue;
    const again = found.find((one) => one.guess.bytes === guess.bytes && explains(contents, guess, one));
    if (again) add({ ...again, guess });
  }
  return registersOf(site, contents, differing, found);
}

/** Whether the polynomial of `known`, with its orders, explains another guess. */
function explains(contents: readonly Uint8Array[], guess: Guess, { order, reflected, poly }: Recovered): boolean {
  const field = new Field(8 * guess.bytes, poly);
  const values = valuesOf(contents, guess.stored, guess.bytes, order, reflected);
  const first = values[0] as number;
  let rest = 0;
  for (const [i, difference] of differencesOf(contents, guess).entries()) {
    const left = restOf(polynomialOf(difference, reflected), field);
    if (i === 0) rest = left;
    if (left === 0 || field.multiply(rest, values[i] as number) !== field.multiply(left, first)) return false;
  }
  return true;
}

/** Whether a guess is explained by `known`. A polynomial with a factor of half its size looks like a narrower one as well. */
function isExplained(guess: Guess, known: Guess): boolean {
  const overlap = guess.stored < known.stored + known.bytes && known.stored < guess.stored + guess.bytes;
  return overlap && guess.bytes <= known.bytes;
}

/** The polynomials that explain a guess, with both bit orders and both byte orders. */
function tested(contents: readonly Uint8Array[], guess: Guess): Recovered[] {
  const { stored, bytes } = guess;
  const width = 8 * bytes;
  const found: Recovered[] = [];
  for (const reflected of [false, true]) {
    const messages = differencesOf(contents, guess).map((bytes) => polynomialOf(bytes, reflected));
    for (const order of bytes === 1 ? (["big"] as const) : (["big", "little"] as const)) {
      const values = valuesOf(contents, stored, bytes, order, reflected);
      const common = commonOf(messages, values, width);
      if (common === undefined || degreeOf(common) < width || degreeOf(common) > 32 * 4) continue;
      for (const whole of divisorsOf(bigintOf(common), width)) {
        const poly = Number(BigInt.asIntN(32, whole & ((1n << BigInt(width)) - 1n)));
        if (poly === 1) continue; // x^width + 1 is the XOR of all words, which has a search of its own
        found.push({ guess, order, reflected, poly });
      }
    }
  }
  return found;
}

function commonOf(
  messages: readonly BinaryPolynomial[],
  values: readonly number[],
  width: number,
): BinaryPolynomial | undefined {
  let common: BinaryPolynomial | undefined;
  const [first, ...others] = messages as readonly [BinaryPolynomial, ...BinaryPolynomial[]];
  for (const [i, other] of others.entries()) {
    const multiple = sumOf(timesShort(first, values[i + 1] as number), timesShort(other, values[0] as number));
    if (degreeOf(multiple) < 0) continue;
    common = common ? commonDivisor(common, multiple) : multiple;
    if (degreeOf(common) < width) return undefined;
  }
  return common;
}
