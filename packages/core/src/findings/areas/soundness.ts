import { formatAddress } from "../../bytes/hex.js";
import type { Entries } from "../finding.js";

/** A statistic, and the value from which it counts. */
export interface Evidence {
  readonly measured: number;
  readonly threshold: number;
  /** Bytes, pairs or pieces that were looked at. */
  readonly of: number;
  /** Other things that were seen and that this one explains: codes without their area. */
  readonly also: readonly string[];
  /** What else than a statistic says it: so many checksums hold once it is put right (`measured`). */
  readonly proof?: "checksums";
}

/** What two reads of one unit say differently. */
export interface ReadsDiffer {
  readonly first: string;
  readonly other: string;
  readonly bytes: number;
  readonly runs: number;
  readonly at: number;
  /** Differing bits that are 1 in the later read, and that are 0 in it. */
  readonly raised: number;
  readonly lowered: number;
}

/** Whether a read is whole and plausible. */
export interface SoundnessFacts {
  "soundness/not-the-bytes": Evidence & { readonly kind: string };
  "soundness/constant": Evidence & { readonly value: number; readonly erased: number | undefined };
  "soundness/address-line-dead": Evidence & { readonly lines: readonly number[] };
  "soundness/address-lines-shorted": Evidence & { readonly first: number; readonly second: number };
  "soundness/alternate-blocks-blank": Evidence & {
    readonly line: number;
    readonly level: number;
    readonly value: number;
  };
  "soundness/content-repeats": Evidence & { readonly period: number; readonly bytes: number };
  "soundness/halves-alike": Evidence & { readonly period: number; readonly bytes: number };
  "soundness/records-alike": Evidence & { readonly lines: readonly number[] };
  "soundness/data-line-doubtful": Evidence & {
    readonly bus: number;
    readonly lane: number;
    readonly bit: number;
    readonly level: number;
    readonly distinct: number;
  };
  "soundness/data-lines-doubtful": Evidence & {
    readonly bus: number;
    readonly first: number;
    readonly second: number;
  };
  "soundness/data-line-stuck": Evidence & {
    readonly bus: number;
    readonly lane: number;
    readonly bit: number;
    readonly level: number;
    readonly distinct: number;
  };
  "soundness/high-bit-clear": Evidence;
  "soundness/only-text": Evidence;
  "soundness/data-lines-shorted": Evidence & { readonly bus: number; readonly first: number; readonly second: number };
  "soundness/bytes-swapped": Evidence & { readonly layout: string; readonly family: string };
  "soundness/parts-joined": Evidence & { readonly correction: string; readonly family: string };
  "soundness/bits-rearranged": Evidence & { readonly correction: string; readonly family: string };
  "soundness/data-lines-exchanged": Evidence & {
    readonly bus: number;
    readonly first: number;
    readonly second: number;
  };
  "soundness/address-lines-exchanged": Evidence & { readonly first: number; readonly second: number };
  "soundness/order-doubtful": Evidence & { readonly correction: string; readonly family: string };
  "soundness/blocks-displaced": Evidence & { readonly block: number };
  "soundness/content-breaks-off": Evidence & { readonly block: number };
  "soundness/block-repeated": Evidence & { readonly length: number; readonly first: number; readonly count: number };
  "soundness/hole-in-content": Evidence & {
    readonly value: number;
    readonly first: number;
    readonly count: number;
    /** The address line at one level of which nothing but these holes stands. */
    readonly line?: number | undefined;
  };
  "soundness/hole-under-failing-checksum": Evidence & {
    readonly value: number;
    readonly first: number;
    readonly count: number;
    readonly line?: number | undefined;
  };
  "soundness/text-mode-transfer": Evidence & { readonly change: "return-added" | "return-dropped" };
  "soundness/line-ends-doubtful": Evidence;
  "soundness/byte-values-missing": Evidence & { readonly value: number };
  "soundness/byte-value-doubtful": Evidence & { readonly value: number };
  "soundness/re-encoded": Evidence & { readonly replacements: number };
  "soundness/structureless": Evidence & { readonly entropy: number };
  "soundness/size-unusual": Evidence & { readonly odd: boolean };
  "soundness/outweighed-by-checksum": { readonly statistic: string; readonly bytes: number; readonly first: number };
  /** Findings that are left out because `cause` explains them. */
  "soundness/consequences": {
    readonly cause: string;
    readonly codes: readonly { readonly code: string; readonly count: number }[];
  };
  "soundness/reads-differ": ReadsDiffer;
  "soundness/reads-differ-unexplained": ReadsDiffer;
  "soundness/reads-of-other-extent": { readonly first: string; readonly other: string; readonly bytes: number };
  "soundness/reads-of-two-units": {
    readonly first: string;
    readonly other: string;
    readonly values: readonly { readonly field: string; readonly first: string; readonly other: string }[];
  };
  "soundness/read-given-twice": { readonly first: string; readonly other: string };
  "soundness/reads-equal": { readonly first: string; readonly other: string };
  "soundness/charge-lost": { readonly bytes: number; readonly bits: number; readonly first: number };
  "soundness/contact-on-data-line": {
    readonly bit: number;
    readonly lane: number;
    readonly bus: number;
    readonly bytes: number;
    readonly first: number;
  };
  "soundness/contact-on-address-line": {
    readonly line: number;
    readonly bytes: number;
    readonly explained: number;
    readonly first: number;
  };
  "soundness/reads-shifted": { readonly from: number; readonly by: number; readonly read: number };
  "soundness/vote-open": {
    readonly open: number;
    readonly settled: number;
    readonly reads: number;
    readonly first: number;
  };
  "soundness/vote-taken": {
    readonly settled: number;
    readonly reads: number;
    /** Bytes that the unit writes by itself, all taken from the read `first`. */
    readonly own: number;
    readonly first: string;
  };
}

const bytes = (count: number) => (count === 1 ? "1 byte" : `${count} bytes`);
const percent = (share: number) => `${Math.round(1000 * share) / 10} %`;
const times = (gain: number) => `${Math.round(10 * gain) / 10} times`;
const byteText = (byte: number) => `0x${byte.toString(16).toUpperCase().padStart(2, "0")}`;
const also = (facts: Evidence) =>
  facts.also.length === 0
    ? ""
    : `; it also explains: ${facts.also.map((name) => name.replaceAll("-", " ")).join(", ")}`;
/** What a correction does for the content. */
const gain = (facts: Evidence, family?: string) =>
  facts.proof === "checksums"
    ? `${facts.measured === 1 ? "the checksum that can tell holds" : `all ${facts.measured} checksums that can tell hold`}, as they do not while the read stands as it is`
    : `text and code${family === undefined ? "" : ` (${family})`} become ${times(facts.measured)} as frequent in ${facts.of} pairs of bytes (${times(facts.threshold)} count)`;
const dataLine = (bus: number, lane: number, bit: number) =>
  bus === 8 ? `data line D${bit}` : `data line ${bit} of byte ${lane} of the ${bus}-bit word`;
const pairLine = (bus: number, bit: number) => (bus === 8 ? `D${bit}` : `bit ${bit % 8} of byte ${bit >= 8 ? 0 : 1}`);
const since = "0.1.0";

const readAgain = "Clean the contacts, seat the part or clip again, and read at least twice until two reads agree.";
const unsafe =
  "Nothing that is read out of this image can be relied on, and writing it would put the damage into the unit.";

const differ = ({ first, other, bytes, runs, at, raised, lowered }: ReadsDiffer) =>
  `${first} and ${other} differ in ${bytes} ${bytes === 1 ? "byte" : "bytes"} in ${runs} ${runs === 1 ? "run" : "runs"}, the first at ${formatAddress(at)}; in the later one ${raised} bits are 1 instead of 0 and ${lowered} are 0 instead of 1`;

export const soundnessEntries: Entries<SoundnessFacts> = {
  "soundness/not-the-bytes": {
    severity: "stop",
    title: "The file holds something else than the bytes of a memory",
    says: ({ kind }) => `the file is ${kind}, not the bytes of a memory`,
    expected: () => "the bytes of a memory",
    found: ({ kind }) => kind,
    why: "Written as it is, a listing or an archive would be put into the unit instead of its software.",
    next: "Unpack or convert the file to its bytes first, then check it again.",
    since,
  },
  "soundness/constant": {
    severity: "stop",
    title: "Every byte of the read is the same",
    says: ({ value, of, erased }) =>
      `all ${bytes(of)} read ${byteText(value)}${erased === value ? ", which is what erased memory reads as" : ""}`,
    expected: () => "content",
    found: ({ value }) => `${byteText(value)} throughout`,
    why: "A part without supply, without contact, protected or erased reads so; the content is not here.",
    next: "Check supply, ground and chip select of the part and that the reader is set to it, then read again.",
    since,
  },
  "soundness/address-line-dead": {
    severity: "stop",
    title: "An address line made no difference",
    says: (facts) =>
      `${percent(facts.measured)} of ${bytes(facts.of)} with content are equal across address line ${facts.lines.map((line) => `A${line}`).join(", ")} (from ${percent(facts.threshold)} on it counts as dead)${also(facts)}`,
    expected: () => "different content on both sides of every address line",
    found: ({ lines }) => `repetition across ${lines.map((line) => `A${line}`).join(", ")}`,
    why: "Half of the content was never read: the other half stands in its place.",
    next: "Clean and check the contact of the named address line (bit of the byte address; on a 16-bit part the pin is one lower), and that it is not shorted with a line above the content, then read again.",
    since,
  },
  "soundness/address-lines-shorted": {
    severity: "stop",
    title: "Two address lines carried the same level",
    says: (facts) =>
      `where A${facts.first} and A${facts.second} differ, ${percent(facts.measured)} of ${bytes(facts.of)} are equal to those with both alike${also(facts)}`,
    expected: () => "address lines that work apart",
    found: ({ first, second }) => `A${first} and A${second} as one`,
    why: "Half of the content was never read.",
    next: "Look for a solder bridge or a bent pin between the two named lines, then read again.",
    since,
  },
  "soundness/alternate-blocks-blank": {
    severity: "stop",
    title: "Every other block reads blank",
    says: (facts) =>
      `where A${facts.line} is ${facts.level} ${percent(facts.measured)} of the bytes are ${byteText(facts.value)} (${percent(facts.threshold)} count), in blocks of ${bytes(2 ** facts.line)} between content of which ${bytes(facts.of)} were looked at${also(facts)}`,
    expected: () => "content that goes on from block to block",
    found: ({ line, level }) => `nothing where A${line} is ${level}`,
    why: "Half of the content is missing: the line is shorted with one above the content, a part or byte lane does not answer, or an empty part was interleaved with a full one.",
    next: "Check the named address line against those above it, and that every part answers. If the parts follow each other in memory, put them one behind the other.",
    since,
  },
  "soundness/content-repeats": {
    severity: "stop",
    title: "The content comes again to the end of the read",
    says: (facts) =>
      `the content repeats every ${bytes(facts.period)} over ${bytes(facts.bytes)}: ${percent(facts.measured)} of ${bytes(facts.of)} are equal${also(facts)}`,
    expected: ({ period }) => `${bytes(period)}, or other content behind them`,
    found: ({ bytes: size }) => `the same content again up to ${bytes(size)}`,
    why: "The part is smaller than the window that was read, or its upper address lines have no contact: then content is missing.",
    next: "Read the size off the part's own marking. If it is the period, cut the file there; if it is larger, clean the upper address lines and read again.",
    since,
  },
  "soundness/halves-alike": {
    severity: "review",
    title: "Both halves of the read are alike",
    says: (facts) =>
      `the second ${bytes(facts.period)} equal the first: ${percent(facts.measured)} of ${bytes(facts.of)}; a genuine second bank, a part of half the size and a dead top address line look the same${also(facts)}`,
    expected: ({ period }) => `two banks that are known to be copies, or a part of ${bytes(period)}`,
    found: () => "two equal halves",
    why: "If the top address line had no contact, half of the content is missing.",
    next: "Read the size off the part's own marking; check the contact of the top address line. If two banks are meant, a CRC over both that the profile describes settles it.",
    since,
  },
  "soundness/records-alike": {
    severity: "review",
    title: "All content stands twice, record by record",
    says: (facts) =>
      `${percent(facts.measured)} of ${bytes(facts.of)} with content are equal across address line ${facts.lines.map((line) => `A${line}`).join(", ")} (from ${percent(facts.threshold)} on it counts); a small part that keeps each record twice and a dead address line look the same${also(facts)}`,
    expected: () => "records that are known to be kept twice, or different content on both sides of every address line",
    found: ({ lines }) => `repetition across ${lines.map((line) => `A${line}`).join(", ")}`,
    why: "If the address line had no contact, half of the content is missing.",
    next: "Find out whether the unit keeps its records twice, or compare with a good read of another one; check the contact of the named address line.",
    since,
  },
  "soundness/data-line-doubtful": {
    severity: "review",
    title: "A data line may have stood still",
    says: (facts) =>
      `${dataLine(facts.bus, facts.lane, facts.bit)} reads ${facts.level} in all but ${facts.measured} of ${bytes(facts.of)}; numbers below a limit and even numbers look so too, and no code or text is there to decide${also(facts)}`,
    expected: () => "both levels on every data line, or numbers that are known to leave it alone",
    found: ({ level }) => `always ${level}`,
    why: "If the line had no contact, a bit of every word is lost.",
    next: "Compare with a good read of another unit, or check the contact of the named data line and read again.",
    since,
  },
  "soundness/data-lines-doubtful": {
    severity: "review",
    title: "Two data lines may have carried the same level",
    says: (facts) =>
      `${pairLine(facts.bus, facts.first)} and ${pairLine(facts.bus, facts.second)} are equal in all of ${bytes(facts.of)}; the upper bits of small numbers, and bits that seldom move, are so too${also(facts)}`,
    expected: () => "data lines that work apart, or numbers that are known to be small",
    found: ({ bus, first, second }) => `${pairLine(bus, first)} and ${pairLine(bus, second)} as one`,
    why: "If the two lines touched, a bit of every word is lost.",
    next: "Compare with a good read of another unit, or look for a bridge between the two named lines and read again.",
    since,
  },
  "soundness/data-line-stuck": {
    severity: "stop",
    title: "A data line stood still",
    says: (facts) =>
      `${dataLine(facts.bus, facts.lane, facts.bit)} reads ${facts.level} in all but ${facts.measured} of ${bytes(facts.of)}, while its other bits take ${facts.distinct} values (${facts.threshold} are enough)${also(facts)}`,
    expected: () => "both levels on every data line",
    found: ({ level }) => `always ${level}`,
    why: unsafe,
    next: "Clean and check the contact of the named data line, then read again.",
    since,
  },
  "soundness/high-bit-clear": {
    severity: "stop",
    title: "Bit 7 of every byte is 0",
    says: (facts) =>
      `none of ${bytes(facts.of)} has its highest bit set, and only ${percent(facts.measured)} of them are text${also(facts)}`,
    expected: () => "bytes from 0x80 on in code and data",
    found: () => "none",
    why: "The file went through a channel of seven bits, or data line D7 had no contact: a bit of every byte is lost.",
    next: "Check the contact of data line D7 and read again; move files only in binary mode or inside an archive.",
    since,
  },
  "soundness/only-text": {
    severity: "review",
    title: "The file holds nothing but text",
    says: (facts) => `${percent(facts.measured)} of ${bytes(facts.of)} are printable, and none has its highest bit set`,
    expected: () => "code or data of a unit",
    found: () => "text",
    why: "A log, a note or a listing has been taken for the read.",
    next: "Open the file in a text viewer and find the one that holds the read.",
    since,
  },
  "soundness/data-lines-shorted": {
    severity: "stop",
    title: "Two data lines carried the same level",
    says: (facts) =>
      `${pairLine(facts.bus, facts.first)} and ${pairLine(facts.bus, facts.second)} are equal in all of ${bytes(facts.of)}${also(facts)}`,
    expected: () => "data lines that work apart",
    found: ({ bus, first, second }) => `${pairLine(bus, first)} and ${pairLine(bus, second)} as one`,
    why: unsafe,
    next: "Look for a solder bridge or a bent pin between the two named lines, then read again.",
    since,
  },
  "soundness/bytes-swapped": {
    severity: "stop",
    title: "The bytes of each word stand in another order",
    says: (facts) => `with layout ${facts.layout} ${gain(facts, facts.family)}${also(facts)}`,
    expected: () => "bytes in the order of the memory",
    found: ({ layout }) => `bytes as layout ${layout} has them`,
    why: "Addresses, sums and texts are wrong, and a unit that is written so does not start.",
    next: "Convert the file with --layout and the named layout, and go on with the result; a read of part files has them in the wrong order.",
    since,
  },
  "soundness/parts-joined": {
    severity: "stop",
    title: "Two part files were put together the wrong way",
    says: (facts) => `after the step ${facts.correction} ${gain(facts, facts.family)}${also(facts)}`,
    expected: () => "the bytes of both parts in the order of the memory",
    found: ({ correction }) => `an order that ${correction} puts right`,
    why: "The two parts sit beside each other on the bus, not one behind the other, or the other way round.",
    next: "Put the file together again from the reads of the two parts, in the named way.",
    since,
  },
  "soundness/bits-rearranged": {
    severity: "stop",
    title: "The bits of each byte stand in another order",
    says: (facts) => `after the step ${facts.correction} ${gain(facts, facts.family)}${also(facts)}`,
    expected: () => "bits in the order of the memory",
    found: ({ correction }) => `an order that ${correction} puts right`,
    why: unsafe,
    next: "Check the reader's setting and adapter for reversed or inverted data lines, then read again.",
    since,
  },
  "soundness/data-lines-exchanged": {
    severity: "stop",
    title: "Two data lines are exchanged",
    says: (facts) =>
      `with ${pairLine(facts.bus, facts.first)} and ${pairLine(facts.bus, facts.second)} exchanged, ${gain(facts)}${also(facts)}`,
    expected: () => "data lines in their places",
    found: ({ bus, first, second }) => `${pairLine(bus, first)} and ${pairLine(bus, second)} in each other's place`,
    why: unsafe,
    next: "Check the wiring of the two named lines against the part's data sheet, then read again.",
    since,
  },
  "soundness/address-lines-exchanged": {
    severity: "stop",
    title: "Two address lines are exchanged",
    says: (facts) =>
      `with A${facts.first} and A${facts.second} exchanged ${
        facts.proof
          ? gain(facts)
          : `the content goes on from piece to piece (${times(facts.measured)} as well as it stands, ${times(facts.threshold)} count, ${facts.of} places)`
      }${also(facts)}`,
    expected: () => "address lines in their places",
    found: ({ first, second }) => `A${first} and A${second} in each other's place`,
    why: unsafe,
    next: "Check the wiring of the two named lines against the part's data sheet, then read again.",
    since,
  },
  "soundness/order-doubtful": {
    severity: "review",
    title: "Another order of bytes or bits reads a little better",
    says: (facts) =>
      `after the step ${facts.correction} text and code (${facts.family}) become ${times(facts.measured)} as frequent in ${facts.of} pairs of bytes; too few to be sure`,
    expected: () => "content that reads best as it stands",
    found: ({ correction }) => `content that reads better after ${correction}`,
    why: "Of a processor that is not known here, code in the right order may look so too.",
    next: "Look at the texts in the image: words must read from left to right. Compare with a read that is known to be good.",
    since,
  },
  "soundness/blocks-displaced": {
    severity: "stop",
    title: "Blocks stand in the wrong order",
    says: (facts) =>
      `at every border of ${bytes(facts.block)} the content breaks off: only ${percent(facts.measured)} of what stands across ${facts.of} borders occurs elsewhere, against ${percent(facts.threshold)} at which it would count as going on${also(facts)}`,
    expected: () => "content that goes on from block to block",
    found: ({ block }) => `breaks every ${bytes(block)}`,
    why: unsafe,
    next: "Check the upper address lines and the reader's block order, then read again.",
    since,
  },
  "soundness/content-breaks-off": {
    severity: "review",
    title: "The content breaks off at regular borders",
    says: (facts) =>
      `at every border of ${bytes(facts.block)} the content breaks off: only ${percent(facts.measured)} of what stands across ${facts.of} borders occurs elsewhere, against ${percent(facts.threshold)} at which it would count as going on${also(facts)}`,
    expected: () => "content that goes on from block to block",
    found: ({ block }) => `breaks every ${bytes(block)}`,
    why: "Blocks in the wrong order look so, and so do tables whose records have this size.",
    next: "Compare two reads; if they differ, check the upper address lines and the reader's block order.",
    since,
  },
  "soundness/block-repeated": {
    severity: "review",
    title: "A block stands twice in a row",
    says: (facts) =>
      `${bytes(facts.length)} from ${formatAddress(facts.first)} on stand again right behind themselves${facts.count > 1 ? `, and ${facts.count - 1} more blocks do` : ""}${also(facts)}`,
    expected: () => "no block of content twice in a row",
    found: ({ count }) => (count === 1 ? "one block" : `${count} blocks`),
    why: "A reader that ran into a time-out may have put down the block before once more; the right one is then missing.",
    next: "Read again and compare: if the block stays, it is meant.",
    since,
  },
  "soundness/hole-in-content": {
    severity: "review",
    title: "A block of fill stands in dense content",
    says: (facts) =>
      `${bytes(facts.measured)} of ${byteText(facts.value)} from ${formatAddress(facts.first)} on begin and end on block borders with content on both sides${facts.count > 1 ? `, and ${facts.count - 1} more do` : ""}${
        facts.line === undefined
          ? ""
          : `; no content stands at this level of A${facts.line}, as when it is shorted with a line above the content`
      }${also(facts)}`,
    expected: () => "content, or a gap that does not end on block borders",
    found: ({ value, count }) => `${count === 1 ? "one block" : `${count} blocks`} of ${byteText(value)}`,
    why: "A block that was never transferred looks so; so does a sector that was never used.",
    next: "Read again and compare; a checksum over the place decides it.",
    since,
  },
  "soundness/hole-under-failing-checksum": {
    severity: "stop",
    title: "A block of fill stands where a checksum fails",
    says: (facts) =>
      `${bytes(facts.measured)} of ${byteText(facts.value)} from ${formatAddress(facts.first)} on begin and end on block borders, and a checksum over them does not hold${also(facts)}`,
    expected: () => "content under a checksum that holds",
    found: ({ value }) => `a block of ${byteText(value)}`,
    why: "The block was not read: its content is missing.",
    next: readAgain,
    since,
  },
  "soundness/text-mode-transfer": {
    severity: "stop",
    title: "The file went through a transfer in text mode",
    says: (facts) =>
      facts.change === "return-added"
        ? `a carriage return stands before ${percent(facts.measured)} of ${facts.of} line feeds (${percent(facts.threshold)} count)${also(facts)}`
        : `no carriage return occurs where at least ${facts.measured} would be expected by its neighbours (${facts.threshold} count)${also(facts)}`,
    expected: () => "line ends as chance and content have them",
    found: ({ change }) => (change === "return-added" ? "a return before every line feed" : "no return anywhere"),
    why: "Bytes were added or taken out everywhere; behind the first one nothing stands at its address.",
    next: "Get the file again in binary mode or inside an archive. Taking the bytes out again is guesswork.",
    since,
  },
  "soundness/line-ends-doubtful": {
    severity: "review",
    title: "No pair of return and line feed occurs",
    says: (facts) =>
      `no pair occurs where chance alone would make ${facts.measured} (${facts.threshold} count)${also(facts)}`,
    expected: () => "some pairs",
    found: () => "none",
    why: "A transfer in text mode that shortens line ends takes just these bytes out.",
    next: "Hold the size of the file against that of the part, and get it again in binary mode.",
    since,
  },
  "soundness/byte-values-missing": {
    severity: "stop",
    title: "A byte value does not occur at all",
    says: (facts) =>
      `${byteText(facts.value)} does not occur in ${bytes(facts.of)}, where its neighbours let expect at least ${facts.measured} (${facts.threshold} count)${also(facts)}`,
    expected: ({ measured }) => `at least ${measured} occurrences`,
    found: () => "none",
    why: "Text-mode transfers, terminals and editors swallow this value or stop at it.",
    next: "Get the file again in binary mode or inside an archive.",
    since,
  },
  "soundness/byte-value-doubtful": {
    severity: "review",
    title: "A byte value that could be expected does not occur",
    says: (facts) =>
      `${byteText(facts.value)} does not occur in ${bytes(facts.of)}, where its neighbours let expect at least ${facts.measured} (${facts.threshold} count)${also(facts)}`,
    expected: ({ measured }) => `at least ${measured} occurrences`,
    found: () => "none",
    why: "Text-mode transfers, terminals and editors swallow this value or stop at it; a small image can also lack it by chance.",
    next: "Hold the size of the file against that of the part, and get it again in binary mode.",
    since,
  },
  "soundness/re-encoded": {
    severity: "stop",
    title: "The file went through a conversion of text",
    says: (facts) =>
      `${percent(facts.measured)} of ${bytes(facts.of)} from 0x80 on form characters of UTF-8 (${percent(facts.threshold)} count), ${facts.replacements} of them replacement characters${also(facts)}`,
    expected: () => "bytes from 0x80 on that form no text",
    found: ({ replacements }) => (replacements > 0 ? "replacement characters" : "two bytes for one"),
    why: "Bytes were doubled or replaced; replaced ones are lost.",
    next: "Get the file again as it came from the reader, never through an editor or a text field.",
    since,
  },
  "soundness/structureless": {
    severity: "review",
    title: "The content has no structure",
    says: (facts) =>
      `${percent(facts.measured)} of ${facts.of} pieces of 1024 bytes are spread like random bytes (${percent(facts.threshold)} count), ${facts.entropy.toFixed(2)} bits a byte`,
    expected: () => "code, tables and text",
    found: () => "bytes as of chance",
    why: "Encrypted and compressed content looks so, and so does a read that a protection scrambled.",
    next: "Find out whether the unit protects its memory from being read; compare two reads.",
    since,
  },
  "soundness/size-unusual": {
    severity: "review",
    title: "No memory part has this size",
    says: (facts) => `the read holds ${bytes(facts.measured)}${facts.odd ? ", an odd number" : ""}${also(facts)}`,
    expected: () => "a power of two, or a small multiple of one",
    found: ({ measured }) => bytes(measured),
    why: "A read that was cut, or a file that lost or gained bytes on its way, has such a size.",
    next: "Read the size off the part's own marking and read again over all of it.",
    since,
  },
  "soundness/outweighed-by-checksum": {
    severity: "note",
    title: "A statistic is outweighed by a checksum that holds",
    says: ({ statistic, bytes: size, first }) =>
      `${statistic.replaceAll("-", " ")} was seen at ${formatAddress(first)}, and a checksum over these ${bytes(size)} holds`,
    why: "A checksum knows the content, a statistic only its habits.",
    next: "Nothing, when the checksum is one that the unit itself checks.",
    since,
  },
  "soundness/consequences": {
    severity: "note",
    title: "What only follows from the damage is left out",
    says: ({ cause, codes }) => {
      const total = codes.reduce((sum, { count }) => sum + count, 0);
      const list = codes.map(({ code, count }) => (count === 1 ? code : `${code} (${count})`)).join(", ");
      return `${total} ${total === 1 ? "finding follows" : "findings follow"} from ${cause}: ${list}`;
    },
    why: "Values that are read out of a damaged read are no evidence of their own.",
    next: "Put the read right first; then these are asked again.",
    since,
  },
  "soundness/reads-differ": {
    severity: "stop",
    title: "Two reads of the unit do not agree",
    says: differ,
    expected: () => "the same bytes in every read, but for what the unit writes by itself",
    found: ({ bytes }) => `${bytes} unequal`,
    why: "At least one of the reads is wrong, and nothing says which.",
    next: "Clean the contacts, check supply and clock, and read again until reads agree. Bits that differ one way only point to lost charge, both ways to noise.",
    since: "0.1.0",
  },
  "soundness/reads-differ-unexplained": {
    severity: "review",
    title: "Two reads of the unit do not agree, and nothing says whether they may",
    says: differ,
    expected: () => "the same bytes, or a profile that says what a unit writes by itself",
    found: ({ bytes }) => `${bytes} unequal`,
    why: "Adaptation, faults and counters differ between any two reads; everything else must not.",
    next: "Give a profile with --profile, or compare the places by hand.",
    since: "0.1.0",
  },
  "soundness/reads-of-other-extent": {
    severity: "stop",
    title: "The reads do not cover the same memory",
    says: ({ first, other, bytes }) =>
      `${bytes} ${bytes === 1 ? "byte is" : "bytes are"} known in only one of ${first} and ${other}`,
    expected: () => "reads of the same addresses",
    found: ({ bytes }) => `${bytes} bytes in one of them only`,
    why: "One of the reads was cut short, or they were made with different settings.",
    next: "Read the whole part again with the same settings.",
    since: "0.1.0",
  },
  "soundness/reads-of-two-units": {
    severity: "stop",
    title: "The reads are of two units, not of one",
    says: ({ first, other, values }) =>
      `a checksum over it holds in both reads, and they state ${values
        .map((value) => `${value.field} ${value.first} (${first}) and ${value.other} (${other})`)
        .join(", ")}`,
    expected: ({ values }) => values.map((value) => value.first).join(", "),
    found: ({ values }) => values.map((value) => value.other).join(", "),
    why: "What two units differ in says nothing of how well either was read.",
    next: "Check the reads of each unit by themselves; two units of a mirrored pair are compared with the command pair.",
    since,
  },
  "soundness/read-given-twice": {
    severity: "review",
    title: "One read may have voted twice",
    says: ({ first, other }) => `${first} and ${other} are equal in every byte, and both were counted`,
    expected: () => "reads that were made one after the other",
    found: () => "two that may be one",
    why: "A copy always agrees with its original, and its vote is no second one. Two true reads can be equal too.",
    next: "Make sure that the unit was read as often as files were given, or vote over further reads.",
    since: "0.1.0",
  },
  "soundness/reads-equal": {
    severity: "note",
    title: "Two reads are equal in every byte",
    says: ({ first, other }) => `${first} and ${other} hold the same bytes, also where a unit writes by itself`,
    why: "Two true reads are, where the unit was not at work between them; so is one file that was given twice, which would say nothing.",
    next: "Make sure that the unit was read twice.",
    since: "0.1.0",
  },
  "soundness/charge-lost": {
    severity: "review",
    title: "Bits turned towards erased from read to read",
    says: ({ bytes: size, bits, first }) =>
      `${bits} bits in ${bytes(size)} differ, all of them erased in the same one of the two reads, the first at ${formatAddress(first)}`,
    expected: () => "the same bytes in every read",
    found: ({ bits }) => `${bits} bits in one direction`,
    why: "Cells of an old part lose charge and read once so, once so; the read with fewer erased bits is nearer to the content.",
    next: "Read at other supply voltages and temperatures, vote over at least three reads, and let a checksum decide.",
    since,
  },
  "soundness/contact-on-data-line": {
    severity: "stop",
    title: "Two reads differ on one data line only",
    says: ({ bit, lane, bus, bytes: size, first }) =>
      `all ${bytes(size)} that differ do so in ${dataLine(bus, lane, bit)}, the first at ${formatAddress(first)}`,
    expected: () => "the same bytes in every read",
    found: ({ bytes: size }) => `${bytes(size)} that differ in one bit`,
    why: "A contact that opens and closes puts the same bit wrong at places that chance picks.",
    next: "Clean and check the contact of the named data line, then read again.",
    since,
  },
  "soundness/contact-on-address-line": {
    severity: "stop",
    title: "One read holds content from across an address line",
    says: ({ line, bytes: size, explained, first }) =>
      `${explained} of ${bytes(size)} that differ hold what the other read has across A${line}, the first at ${formatAddress(first)}`,
    expected: () => "the same bytes in every read",
    found: ({ line }) => `content from across A${line}`,
    why: "A contact that opens and closes reads from the wrong place.",
    next: "Clean and check the contact of the named address line (bit of the byte address), then read again.",
    since,
  },
  "soundness/reads-shifted": {
    severity: "stop",
    title: "One read lost or gained bytes",
    says: ({ from, by, read }) =>
      `from ${formatAddress(from)} on, read ${read} equals the first one ${bytes(Math.abs(by))} ${by > 0 ? "later" : "earlier"}`,
    expected: () => "the same bytes at the same addresses",
    found: ({ by }) => `content displaced by ${bytes(Math.abs(by))}`,
    why: "Behind that place nothing stands at its address.",
    next: "Read again; a slower interface speed helps against lost bytes.",
    since,
  },
  "soundness/vote-open": {
    severity: "review",
    title: "The vote left bytes open",
    says: ({ open, settled, reads, first }) =>
      `${bytes(open)} have no majority among ${reads} reads, the first at ${formatAddress(first)}; ${settled} were settled`,
    expected: () => "a majority for every byte",
    found: ({ open }) => `${bytes(open)} without one`,
    why: "What is open stays a hole: nothing is made up for it.",
    next: "Add reads, better an odd number of them.",
    since,
  },
  "soundness/vote-taken": {
    severity: "note",
    title: "The reads were voted byte by byte",
    says: ({ settled, reads, own, first }) =>
      `${bytes(settled)} that ${settled === 1 ? "differs" : "differ"} among ${reads} reads ${settled === 1 ? "was" : "were"} settled by majority, and none is open${own > 0 ? `; ${bytes(own)} that the unit writes by itself are those of ${first}` : ""}`,
    why: "A vote helps against errors of chance, not against a fault that every read shares.",
    next: "Write the voted image with --out, where that was not done: its checksums decide whether it can be relied on.",
    since,
  },
};
