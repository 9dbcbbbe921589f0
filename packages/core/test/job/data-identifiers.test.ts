import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { dataIdentifierOf, dataIdentifiers, dataIdentifierText } from "../../src/job/data-identifiers.js";

/** ISO 14229-1, editions of 2013 and 2020, as a general code library carries the names. */
const vectors = new URL("../../../../test-vectors/standards/data-identifiers.json", import.meta.url);
const { names } = JSON.parse(readFileSync(vectors, "utf8")) as { readonly names: Readonly<Record<string, string>> };

describe("the data identifiers", () => {
  it("are those of ISO 14229-1, F180 to F19F", () => {
    expect(dataIdentifiers).toEqual(names);
    expect(Object.keys(dataIdentifiers)).toEqual(
      Array.from({ length: 32 }, (_, i) => (0xf180 + i).toString(16).toUpperCase()),
    );
  });

  it.each(Object.entries(names))("%s is %s, by number and by name", (number, name) => {
    for (const text of [
      number,
      number.toLowerCase(),
      `0x${number}`,
      name,
      name.toLowerCase(),
      name.toUpperCase(),
      `${name}DataIdentifier`,
    ]) {
      expect(dataIdentifierOf(text), text).toBe(number);
    }
    expect(dataIdentifierText(number)).toBe(`${number} ${name}`);
  });

  it("outside them are the maker's own: numbers without a name", () => {
    expect(dataIdentifierOf("0xf1a0")).toBe("F1A0");
    expect(dataIdentifierText("F1A0")).toBe("F1A0");
  });

  it.each(["", "F19", "F1900", "0x", "F19G", "VIN1", "DataIdentifier", "toString", "__proto__", " F190"])(
    "%j is none",
    (text) => expect(dataIdentifierOf(text)).toBeUndefined(),
  );
});
