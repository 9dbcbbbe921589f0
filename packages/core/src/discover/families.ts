import type { CrcModel } from "../algorithms/crc.js";
import { crcCatalogue } from "../algorithms/crc-catalogue.js";
import { crcFamily } from "./crc-family.js";
import type { Family } from "./family.js";
import { sumFamily } from "./sum-family.js";
import { twoSumsFamily } from "./two-sums-family.js";

/**
 * Every family that is looked for, the likeliest first. Their bits and those of their variants are shares of the
 * belief before anything is seen (half is 1, a quarter 2): what is rare has to prove more. The shares are an estimate
 * and add up to no more than one; the odds hold whatever they are, they only decide who gets along with less.
 */
export function familiesToSeek(): Family[] {
  return [...crcFamilies(), ...sumFamilies(), ...twoSumsFamilies()].sort((a, b) => a.bits - b.bits);
}

/** The polynomials that many units use. */
const usual: Readonly<Record<string, number>> = {
  "32:04c11db7:reflected": 2.5,
  "32:04c11db7": 4,
  "32:1edc6f41:reflected": 5,
  "16:1021": 4.5,
  "16:8005:reflected": 5,
  "16:1021:reflected": 6,
  "16:8005": 6.5,
  "8:07": 6.5,
  "8:1d": 6.5,
};
const unusual: Readonly<Record<number, number>> = { 32: 7.5, 16: 9.5, 24: 10, 8: 10 };

/** All CRCs of 8, 16, 24 and 32 bits of the catalogue; of usual polynomials also the starts and ends that it lacks. */
function crcFamilies(): Family[] {
  const groups = new Map<string, CrcModel[]>();
  for (const row of crcCatalogue as readonly CrcModel[]) {
    if (![8, 16, 24, 32].includes(row.width) || row.refin !== row.refout) continue;
    const key = `${row.width}:${row.poly.toString(16).padStart(row.width / 4, "0")}${row.refin ? ":reflected" : ""}`;
    groups.set(key, [...(groups.get(key) ?? []), row]);
  }
  return [...groups].map(([key, rows]) => {
    const { width, poly, refin } = rows[0] as CrcModel;
    const share = Math.max(1, Math.log2(rows.length)) + (usual[key] ? 0.5 : 0);
    const models = rows.map((model) => ({ model: withoutName(model), bits: share }));
    const ones = (1n << BigInt(width)) - 1n;
    for (const init of usual[key] ? [0n, ones] : []) {
      for (const xorout of [0n, ones]) {
        if (rows.some((row) => row.init === init && row.xorout === xorout)) continue;
        const model = { width, poly, init, refin, refout: refin, xorout };
        models.push({ model, bits: 4 });
      }
    }
    const kind = { width: width as 8 | 16 | 24 | 32, poly: Number(BigInt.asIntN(32, poly)), reflected: refin };
    const name = `CRC-${width} of 0x${poly.toString(16)}${refin ? ", reflected" : ""}`;
    return crcFamily(name, kind, models, usual[key] ?? (unusual[width] as number));
  });
}

function withoutName({ width, poly, init, refin, refout, xorout }: CrcModel): Omit<CrcModel, "name"> {
  return { width, poly, init, refin, refout, xorout };
}

function sumFamilies(): Family[] {
  const forms = { value: 0.75, complement: 2.5, negated: 2.5 };
  return [
    sumFamily({ algorithm: "sum32-le", width: 32, word: 4, order: "little", method: "add" }, forms, 4.5),
    sumFamily({ algorithm: "sum32-be", width: 32, word: 4, order: "big", method: "add" }, forms, 4.5),
    sumFamily({ algorithm: "sum32-bytes", width: 32, word: 1, order: "big", method: "add" }, forms, 5),
    sumFamily({ algorithm: "sum32-words16-le", width: 32, word: 2, order: "little", method: "add" }, forms, 5.5),
    sumFamily({ algorithm: "sum32-words16-be", width: 32, word: 2, order: "big", method: "add" }, forms, 5.5),
    sumFamily({ algorithm: "sum16-bytes", width: 16, word: 1, order: "big", method: "add" }, forms, 4.5),
    sumFamily({ algorithm: "sum16-le", width: 16, word: 2, order: "little", method: "add" }, forms, 5),
    sumFamily({ algorithm: "sum16-be", width: 16, word: 2, order: "big", method: "add" }, forms, 5),
    sumFamily({ algorithm: "sum8", width: 8, word: 1, order: "big", method: "add" }, forms, 5),
    sumFamily(
      { algorithm: "xor32-be", width: 32, word: 4, order: "big", method: "xor" },
      { value: 0.5, complement: 2 },
      6,
    ),
    sumFamily(
      { algorithm: "xor16-be", width: 16, word: 2, order: "big", method: "xor" },
      { value: 0.5, complement: 2 },
      6.5,
    ),
    sumFamily({ algorithm: "xor8", width: 8, word: 1, order: "big", method: "xor" }, { value: 0.5, complement: 2 }, 6),
    sumFamily(
      { algorithm: "sum16-carry-be", width: 16, word: 2, order: "big", method: "end-around" },
      { value: 1, complement: 1 },
      6.5,
    ),
    sumFamily(
      { algorithm: "sum32-carry-le", width: 32, word: 4, order: "little", method: "end-around" },
      { value: 1, complement: 1 },
      8,
    ),
    sumFamily(
      { algorithm: "sum32-carry-be", width: 32, word: 4, order: "big", method: "end-around" },
      { value: 1, complement: 1 },
      8,
    ),
    sumFamily(
      { algorithm: "sum8-carry", width: 8, word: 1, order: "big", method: "end-around" },
      { value: 1, complement: 1 },
      9,
    ),
  ];
}

function twoSumsFamilies(): Family[] {
  return [
    twoSumsFamily({ algorithm: "adler32", width: 32, word: 1, order: "big", modulus: 65521, first: 1 }, 6),
    twoSumsFamily({ algorithm: "fletcher32", width: 32, word: 2, order: "little", modulus: 65535, first: 0 }, 6.5),
    twoSumsFamily({ algorithm: "fletcher32-be", width: 32, word: 2, order: "big", modulus: 65535, first: 0 }, 6.5),
    twoSumsFamily({ algorithm: "fletcher16", width: 16, word: 1, order: "big", modulus: 255, first: 0 }, 6.5),
    twoSumsFamily({ algorithm: "fletcher16-mod256", width: 16, word: 1, order: "big", modulus: 256, first: 0 }, 7.5),
  ];
}
