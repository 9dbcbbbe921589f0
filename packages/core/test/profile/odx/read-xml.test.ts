import { describe, expect, it } from "vitest";
import { readXml } from "../../../src/profile/odx/read-xml.js";

const codeOf = (text: string): string => {
  try {
    readXml(text);
    return "read";
  } catch (error) {
    return (error as { code?: string }).code ?? String(error);
  }
};

describe("an XML document", () => {
  it("is read with names, attributes and text as they are meant", () => {
    const text = `<?xml version="1.0"?><!-- <A> --><x:A b="&lt;1&amp;2&gt;" xsi:type="T"> 007 <B/><![CDATA[ &amp; ]]>&#65;&#x42;</x:A>`;
    const root = readXml(text);
    expect(root).toMatchObject({ name: "A", attributes: { b: "<1&2>", type: "T" }, children: [{ name: "B" }] });
    expect(root.text).toBe("007 &amp; AB");
  });

  it.each([
    ["", "xml/syntax"],
    ["no tag", "xml/syntax"],
    ["<A>", "xml/syntax"],
    ["<A></B>", "xml/syntax"],
    ["<A", "xml/syntax"],
    ["<A><!-- ", "xml/syntax"],
    ["<A>&unknown;</A>", "xml/entity"],
    ["<A>&#x110000;</A>", "xml/entity"],
    ["<A b='1' b='2'/>", "xml/syntax"],
  ])("that is none is refused: %s", (text, code) => expect(codeOf(text)).toBe(code));

  it("says in which line it is no XML", () => {
    expect(() => readXml("<A>\n<B>\n</A>")).toThrow(/line [23]: expected well-formed XML/);
  });
});

/** What `work` takes, in milliseconds and in bytes of the heap that stay in use. */
function costOf(work: () => unknown): { time: number; kept: number } {
  const before = process.memoryUsage().heapUsed;
  const start = performance.now();
  work();
  return { time: performance.now() - start, kept: process.memoryUsage().heapUsed - before };
}

describe("a document made to exhaust its reader", () => {
  const bomb = `<!DOCTYPE A [<!ENTITY a "aaaaaaaaaa">${Array.from({ length: 9 }, (_, i) => `<!ENTITY ${"bcdefghij"[i]} "${`&${"abcdefghi"[i]};`.repeat(10)}">`).join("")}]><A>&j;</A>`;
  it.each([
    ["entities that grow tenfold nine times", bomb, "xml/document-type"],
    [
      "an entity from a file",
      `<!DOCTYPE A [<!ENTITY e SYSTEM "file:///etc/hostname">]><A>&e;</A>`,
      "xml/document-type",
    ],
    ["an entity from the network", `<!DOCTYPE A SYSTEM "http://example.org/a.dtd"><A/>`, "xml/document-type"],
    ["a parameter entity", `<!DOCTYPE A [<!ENTITY % p SYSTEM "x">%p;]><A/>`, "xml/document-type"],
    ["a depth of 100 000", `${"<A>".repeat(100_000)}${"</A>".repeat(100_000)}`, "xml/too-large"],
    ["a million elements", `<A>${"<B/>".repeat(1_000_000)}</A>`, "xml/too-large"],
    ["a tag of a million attributes", `<A ${'a="1" '.repeat(1_000_000)}/>`, "xml/too-large"],
    ["attributes without an end", `<A ${'a="'.repeat(200_000)}`, "xml/syntax"],
    ["comments without an end", `<A>${"<!--".repeat(300_000)}`, "xml/syntax"],
    ["closing tags alone", "</A>".repeat(100_000), "xml/syntax"],
  ])("with %s is refused in bounded time and memory", (_name, text, code) => {
    let told = "";
    const { time, kept } = costOf(() => {
      told = codeOf(text);
    });
    expect(told).toBe(code);
    expect(time).toBeLessThan(5000);
    expect(kept).toBeLessThan(64 * 2 ** 20 + 8 * text.length);
  });

  // Quadratic reading would not come to an end within the time that every test has.
  it("of 5 MB of data in one element is read", () => {
    expect(() => readXml(`<A><B>${"00112233445566778899AABBCCDDEEFF".repeat(156_250)}</B></A>`)).not.toThrow();
  }, 120_000);
});
