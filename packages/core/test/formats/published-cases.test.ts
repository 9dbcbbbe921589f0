import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { fromHex, toHex } from "../../src/bytes/hex.js";
import { catalogue } from "../../src/findings/catalogue.js";
import { decode } from "../../src/formats/decode.js";

// Intel, Hexadecimal Object File Format Specification, Rev. A (1988); M68000 Family Programmer's Reference Manual,
// Appendix C. Which case is from where stands in the files.
interface FileCase {
  readonly name: string;
  readonly text: string;
  readonly expect: "accept" | "accept-with-note" | "reject";
  readonly memory?: readonly { readonly address: string; readonly bytes: string }[];
  readonly startAddress?: string | { readonly linear?: string; readonly value?: string };
}

const load = (name: string) =>
  JSON.parse(readFileSync(new URL(`../../../../test-vectors/standards/${name}`, import.meta.url), "utf8"));

describe.each([
  ["intel-hex", "intel-hex-vectors.json"],
  ["s-record", "s-record-vectors.json"],
] as const)("%s", (format, file) => {
  const { files, records } = load(file);

  it.each((files as FileCase[]).map((one) => [one.name, one] as const))(
    "%s",
    (_name, { text, expect: wanted, memory, startAddress }) => {
      const decoded = decode(new Uint8Array(Buffer.from(text, "utf8")), { format });
      const severities = decoded.findings.map(({ code }) => catalogue[code].severity);
      if (wanted === "accept") expect(severities.filter((severity) => severity !== "note")).toEqual([]);
      if (wanted === "accept-with-note") expect(decoded.findings.length).toBeGreaterThan(0);
      if (startAddress) {
        const stated = typeof startAddress === "string" ? startAddress : (startAddress.linear ?? startAddress.value);
        expect(decoded.start?.address).toBe(Number(stated));
      }
      if (wanted !== "reject") {
        expect(severities).not.toContain("stop");
        if (!memory) return;
        const known = new Map<number, number>();
        for (const part of memory) {
          for (const [i, byte] of fromHex(part.bytes).entries()) known.set(Number(part.address) + i, byte);
        }
        const found = decoded.image.segments.flatMap(({ address, bytes }) =>
          [...bytes].map((byte, i) => [address + i, byte] as const),
        );
        expect(found).toEqual([...known].sort((a, b) => a[0] - b[0]));
      } else {
        expect(severities).toContain("stop");
        const stop = decoded.findings.find(({ code }) => catalogue[code].severity === "stop");
        if (text.length > 0 && stop?.code !== "file/empty") expect(stop?.where[0]?.line).toBeTypeOf("number");
      }
    },
  );

  it.each(
    (records as { record: string; valid: boolean; type: number; data: string; address: string }[]).map(
      (one) => [one.record, one] as const,
    ),
  )("record %s", (_text, { record, valid, type, data, address }) => {
    const decoded = decode(
      Uint8Array.from(`${record}\n`, (c) => c.charCodeAt(0)),
      { format },
    );
    // A count record alone is whole and counts records that are not there.
    const damaged = decoded.findings.some(({ code }) => /wrong|odd|cut/.test(code));
    expect(damaged).toBe(!valid);
    const isData = format === "intel-hex" ? type === 0 : type >= 1 && type <= 3;
    if (valid && isData && data.length > 0) {
      expect(toHex(decoded.image.segments[0]?.bytes ?? new Uint8Array(0))).toBe(data.toLowerCase());
      expect(decoded.image.segments[0]?.address).toBe(Number(address));
    }
  });
});
