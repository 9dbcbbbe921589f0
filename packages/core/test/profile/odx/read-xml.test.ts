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

  it("says in which line it is no XML, and in which an element begins", () => {
    expect(() => readXml("<A>\n<B>\n</A>")).toThrow(/line [23]: expected well-formed XML/);
    const long = "12\n".repeat(1000);
    expect(() => readXml(`<A>\n${long}<B>\n</A>`)).toThrow(/line 100[23]: expected well-formed XML/);
    expect(() => readXml(`<A>\n${long}&b</A>`)).toThrow(/line 1002: expected well-formed XML/);
    const root = readXml(`<?xml version="1.0"?>\n<A>\n<B/>${long}<C><D\nx="1"/></C></A>`);
    const [first, second] = root.children;
    expect([root, first, second, second?.children[0]].map((one) => one?.line)).toEqual([2, 3, 1003, 1003]);
  });

  it("keeps text that looks like what stands for a long one", () => {
    const mark = "\uE0000\uE000";
    expect(readXml(`<A>${mark}<B>${"x".repeat(1000)}</B><C>${mark}</C></A>`)).toMatchObject({
      text: mark,
      children: [{ text: "x".repeat(1000) }, { text: mark }],
    });
  });
});

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
    ["a remark of 8 MB and then no end", `<A><!--${"-".repeat(8_000_000)}--><B>`, "xml/syntax"],
    ["a closing tag more behind 8 MB of text", `<A>${"31".repeat(4_000_000)}</A></A>`, "xml/syntax"],
  ])("with %s is refused", (_name, text, code) => {
    expect(codeOf(text)).toBe(code);
  });

  it("of 48 MB of data in one element, in a section or beside a remark is read whole", () => {
    const data = "00112233445566778899AABBCCDDEEFF\n".repeat(500_000);
    const root = readXml(`<A><B>${data}</B><C><![CDATA[${data}]]></C><D>1<!-- ${data} -->2&amp;${data}3</D></A>`);
    const [plain, section, mixed] = root.children.map(({ text }) => text);
    expect(plain === data.trim()).toBe(true);
    expect(section === data.trim()).toBe(true);
    expect(mixed === `12&${data}3`).toBe(true);
    expect(root.children.map(({ line }) => line)).toEqual([1, 500_001, 1_000_001]);
  }, 120_000);
});
