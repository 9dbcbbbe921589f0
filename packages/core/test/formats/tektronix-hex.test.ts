import { describe, expect, it } from "vitest";
import { fromLatin1 } from "../../src/bytes/text.js";
import { catalogue } from "../../src/findings/catalogue.js";
import { decode } from "../../src/formats/decode.js";
import { encode } from "../../src/formats/encode.js";
import { Image } from "../../src/image/image.js";
import { randomFrom, seed } from "../reference/random.js";

const bytesOf = (text: string) => fromLatin1(text) as Uint8Array;
const read = (text: string) => decode(bytesOf(text), { format: "tektronix-hex" });
const codesOf = (text: string) => read(text).findings.map(({ code }) => code);

// The example of srec_tektronix_extended(5), SRecord 1.64: "Hello, World" and a line feed at 0x006B.
const example = "%256D980000006B48656C6C6F2C20576F726C64210A\n%09819800000000\n";
// What GNU objcopy 2.40 writes: addresses as short as they can be, symbols, and names that may hold any character.
const objcopy =
  "%4A6B348000313233343536373839FFFFFFFFFFFFFF0102030405060708090A0B0C0D0E0F10\n%163E15.sec114800048020\n%0781010\n";

describe("Tektronix extended hex", () => {
  it("refuses the example of the manual where its length is wrong", () => {
    // The page's own example states 0x25 characters in its first record, which has 0x2A; in its last 9, which has 14.
    expect(codesOf(example)).toEqual(
      expect.arrayContaining(["tektronix-hex/length-wrong", "tektronix-hex/missing-end", "file/empty"]),
    );
  });

  it("reads what objcopy writes", () => {
    const { format, image, findings, originOf, start } = decode(bytesOf(objcopy));
    expect(format).toBe("tektronix-hex");
    expect(image.spans).toEqual([{ start: 0x8000, end: 0x8020 }]);
    expect(new TextDecoder().decode(image.read({ start: 0x8000, end: 0x8009 }))).toBe("123456789");
    expect(findings.map(({ code }) => code)).toEqual(["tektronix-hex/symbols"]);
    expect(originOf(0x801f)).toEqual({ offset: 0, line: 1 });
    expect(start).toEqual({ kind: "termination", address: 0 });
  });

  it("reads a name that holds the mark of a record", () => {
    const symbol = "%0E3BB2a%1100";
    const sum = (text: string) =>
      [...text].reduce(
        (all, c) => all + "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ$%._abcdefghijklmnopqrstuvwxyz".indexOf(c),
        0,
      );
    const body = `${symbol.slice(6)}0`;
    const length = (body.length + 5).toString(16).toUpperCase().padStart(2, "0");
    const check = (sum(`${length}3`) + sum(body)).toString(16).toUpperCase().padStart(2, "0").slice(-2);
    expect(codesOf(`%${length}3${check}${body}\n${objcopy}`)).toEqual(["tektronix-hex/symbols"]);
  });

  it("stops at every changed character of a record", () => {
    const text = new TextDecoder().decode(
      encode(Image.of([{ address: 0x12345678, bytes: Uint8Array.of(1, 2, 0xab, 0xff) }]), "tektronix-hex"),
    );
    const missed: string[] = [];
    for (let at = 1; at < text.length; at++) {
      if (text[at] === "\n") continue;
      for (const other of "0123456789ABCDEFGZaf%$") {
        if (other === text[at]) continue;
        const changed = text.slice(0, at) + other + text.slice(at + 1);
        const { findings, image } = read(changed);
        const same = image.equals(read(text).image); // a small digit for a capital one
        if (!same && !findings.some(({ code }) => catalogue[code].severity === "stop")) missed.push(changed);
      }
    }
    expect(missed).toEqual([]);
  });

  it("says so when it was cut anywhere, or lost a line", () => {
    const lines = objcopy.split(/(?<=\n)/);
    for (let length = 0; length < objcopy.length - 2; length++) {
      const { findings } = read(objcopy.slice(0, length));
      expect(
        findings.some(({ code }) => catalogue[code].severity !== "note"),
        `${length}`,
      ).toBe(true);
    }
    expect(codesOf(lines.slice(0, 2).join(""))).toContain("tektronix-hex/missing-end");
    expect(codesOf(objcopy.replace("%4A", "4A"))).toContain("tektronix-hex/mark-missing");
    expect(codesOf(`${objcopy}${objcopy}`)).toContain("tektronix-hex/records-after-end");
  });

  it("takes small digits when the checksum holds with them, and says so", () => {
    const text = new TextDecoder().decode(
      encode(Image.of([{ address: 0, bytes: Uint8Array.of(0xab) }]), "tektronix-hex"),
    );
    const small = text.replace("AB", "ab");
    expect(small).not.toBe(text);
    expect(read(small).image.byteAt(0)).toBe(0xab);
    expect(codesOf(small)).toEqual(["tektronix-hex/small-digits"]);
  });

  it("refuses addresses of more than 32 bits", () => {
    expect(codesOf("%1A6699100000000AA\n")).toEqual(
      expect.arrayContaining(["tektronix-hex/length-wrong", "tektronix-hex/missing-end"]),
    );
    // %, 16 characters, data, checksum of all digits but its own, nine digits of address: 0x100000000
    const body = "9100000000AA";
    const sum = [..."116", ...body].reduce((all, digit) => all + Number.parseInt(digit, 16), 0);
    expect(codesOf(`%116${sum.toString(16).toUpperCase().padStart(2, "0")}${body}\n%0781010\n`)).toContain(
      "tektronix-hex/address-overflow",
    );
  });

  it(`survives any text (seed ${seed})`, () => {
    const random = randomFrom(seed);
    const alphabet = "%%%0123456789ABCDEF368abz$._ \t\r\n\0";
    for (let round = 0; round < 2000; round++) {
      const text = Array.from({ length: random.below(200) }, () => alphabet[random.below(alphabet.length)]).join("");
      expect(() => read(text)).not.toThrow();
    }
    for (const unit of ["%", "%FF", "%FF6", " %", "%07810100000000\n", "A"]) {
      expect(read(unit.repeat(1_000_000 / unit.length)).findings.length).toBeLessThan(110);
    }
  });

  it(`is written so that it reads the same (seed ${seed})`, () => {
    const random = randomFrom(seed);
    for (let round = 0; round < 50; round++) {
      const image = Image.of([
        { address: random.below(1000), bytes: random.bytes(1 + random.below(500)) },
        { address: 2 ** 32 - 300, bytes: random.bytes(300) },
      ]);
      const start = { kind: "linear", address: random.below(2 ** 32) } as const;
      const recordLength = 1 + random.below(255);
      const again = decode(encode(image, "tektronix-hex", { recordLength, start }));
      expect(again.format).toBe("tektronix-hex");
      expect(again.image.equals(image)).toBe(true);
      expect(again.start?.address).toBe(start.address);
      expect(again.findings).toEqual([]);
    }
  });
});
