/** What a code says that a command ends with when it cannot be carried out. */
export interface RefusalEntry {
  readonly title: string;
  readonly next: string;
}

const again = "Fetch the file again from where it was made.";
const damaged = "Do not use the file. Fetch it again from where it was made.";
const plain = "Unpack it, and give the file that was in it.";
const asSaid = "Change what the message names, at the place that it gives.";

/** Every code that a refusal carries, with its words. A code without words does not compile. Codes are for ever. */
export const refusals = {
  "algorithm/invalid-crc": { title: "The parameters of a CRC cannot be", next: asSaid },
  "algorithm/unknown": {
    title: "No checksum algorithm has that name",
    next: "Use a name of the catalogue, or the parameters of a CRC.",
  },
  "container/invalid": {
    title: "A flash container does not hold together",
    next: `${again} When it stays, tell whoever made it of the line.`,
  },
  "container/no-folder": {
    title: "The data of a flash container lie beside it, and it came without a folder",
    next: "Give the container as a file, not through a pipe.",
  },
  "container/not-flash": {
    title: "The document holds no flash container",
    next: "Give the document with FLASH in it; a package may hold several documents.",
  },
  "container/outside-folder": {
    title: "A flash container names a file outside of its folder",
    next: "Put the file itself into the folder, in the place of the link.",
  },
  "container/session-unknown": {
    title: "Which session of a flash container is meant is not known",
    next: "Name one of those listed, by its short name or its ID.",
  },
  "container/several": {
    title: "A package holds more than one flash document, or none",
    next: "Unpack it, and give the document that is meant; its data stay beside it.",
  },
  "convert/damaged": {
    title: "The file to convert is damaged",
    next: "A converted file would not show the damage any more. Read the unit again, or fetch the file again.",
  },
  "draft/container": {
    title: "The profile to add to is a flash container",
    next: "Give a profile in a file of its own.",
  },
  "draft/damaged": {
    title: "A read to draft a profile from is damaged",
    next: "Leave the read out, or read the unit again.",
  },
  "draft/empty": { title: "A read to draft a profile from holds nothing", next: "Leave the read out." },
  "draft/other-addresses": {
    title: "The reads do not know the same addresses",
    next: "Give reads of the whole memory, or fill the rows that a hex file leaves out.",
  },
  "draft/pair-of-one": { title: "Both units of a pair are one", next: "Give reads of two units." },
  "draft/reads": {
    title: "There are too few reads to draft from, or too many",
    next: "Give as many as the message says.",
  },
  "draft/told-twice": { title: "One read was told of twice", next: asSaid },
  "draft/too-large": { title: "A read is too large to draft from", next: "Cut the read to the memory that is meant." },
  "encode/address-too-high": {
    title: "The format has no such high addresses",
    next: "Choose another addressing or another format.",
  },
  "encode/fill-invalid": { title: "The byte to fill holes with is none", next: "Give a number from 0 to 255." },
  "encode/header-invalid": { title: "A header cannot be written", next: "Use fewer characters, of one byte each." },
  "encode/holes": {
    title: "A raw file has no holes, and the image does",
    next: "Choose a format with addresses, or say what fills the holes.",
  },
  "encode/outside": { title: "The image reaches beyond the file that is asked for", next: asSaid },
  "encode/record-length": { title: "No record has that length", next: "Give a length from 1 to 255." },
  "encode/too-large": {
    title: "The file would be too large",
    next: "Choose a format with addresses: it leaves holes out.",
  },
  "explain/code-unknown": {
    title: "No finding and no refusal has that code",
    next: "Look for it in the list of all codes.",
  },
  "file/archive-damaged": { title: "A packed file is cut short or damaged", next: damaged },
  "file/archive-encrypted": {
    title: "A packed file is encrypted",
    next: "Open it with its password, and give the file that was in it.",
  },
  "file/archive-link": { title: "A packed file holds a link", next: "Pack the file that the link leads to." },
  "file/archive-method": { title: "A file is packed by a method that is not read", next: plain },
  "file/archive-nested": { title: "A packed file holds a packed file", next: "Unpack the outer one." },
  "file/archive-of-several": { title: "A zip archive holds more than one file, or none", next: plain },
  "file/archive-too-large": {
    title: "A packed file holds more than is allowed",
    next: "When the file can be trusted, raise the limit. Files made to exhaust whoever opens them look like this.",
  },
  "file/archive-zip64": { title: "A zip archive has sizes of 64 bits", next: plain },
  "file/base-not-raw": { title: "The file says its addresses itself", next: "Leave the base address out." },
  "file/base-too-high": {
    title: "The file would reach beyond the end of the memory",
    next: "Give a lower base address.",
  },
  "file/layout-odd": {
    title: "The read does not divide into words of that layout",
    next: "Read the unit again when it was cut short; else choose another layout.",
  },
  "file/part-not-whole": {
    title: "A part file has holes",
    next: "Give raw files, or hex files that leave nothing out.",
  },
  "file/parts-count": { title: "So many part files make no read", next: "Give two or four." },
  "file/parts-unequal": { title: "Part files differ in size", next: "Read the shorter part again." },
  "file/parts-unit": { title: "Part files are not interleaved by so many bytes", next: "Give 1 or 2." },
  "input/changed-while-reading": {
    title: "A file changed while it was read",
    next: "Wait until whatever writes it has ended.",
  },
  "input/not-a-file": { title: "What was named is no ordinary file", next: "Give the name of a file." },
  "input/not-text": { title: "A document is not in the encoding that it must have", next: "Save it as UTF-8." },
  "input/stdin-twice": { title: "Standard input was asked for twice", next: "Give files for all but one." },
  "input/terminal": { title: "Standard input is a terminal", next: "Give a file, or a pipe." },
  "input/too-large": { title: "A file is larger than is allowed", next: "When it can be trusted, raise the limit." },
  "input/unreadable": { title: "A file cannot be read", next: "Look at its name, and at who may read it." },
  "job/invalid": { title: "A job sheet does not hold together", next: asSaid },
  "json/duplicate-key": {
    title: "A key stands twice in a document",
    next: "Strike one of the two: which one counts is not known.",
  },
  "json/key": { title: "A document has a key that none may have", next: "Strike it." },
  "json/syntax": { title: "A document is not JSON", next: asSaid },
  "json/too-deep": { title: "A document is nested too deep", next: damaged },
  "json/too-large": { title: "A document is too large", next: damaged },
  "names/invalid": {
    title: "A measurement description does not hold together",
    next: `${again} When it stays, tell whoever made it of the line.`,
  },
  "names/outside-folder": {
    title: "A measurement description includes a file outside of its folder",
    next: "Put the file itself into the folder, in the place of the link.",
  },
  "output/exists": { title: "There is a file of that name", next: "Give another name, or have the file replaced." },
  "output/no-folder": { title: "The folder to write to is not there", next: "Make it, or give another." },
  "output/not-a-file": { title: "What is to be written over is no ordinary file", next: "Give another name." },
  "output/not-as-written": {
    title: "What was written reads back otherwise",
    next: "Do not trust the disk. Write to another.",
  },
  "output/other-image": {
    title: "The file that was written says another image",
    next: "Do not use the file, and report this fault of the program.",
  },
  "output/over-input": {
    title: "An input would be written over",
    next: "Give another name: an input is never written to.",
  },
  "output/terminal": { title: "Raw bytes would go to a terminal", next: "Give a file, or a pipe." },
  "output/unwritable": {
    title: "A file cannot be written",
    next: "Look at the folder, at who may write there, and at the room left.",
  },
  "profile/invalid": {
    title: "A profile does not hold together",
    next: "Check the profile: that lists all that is wrong with it.",
  },
  "record/altered": {
    title: "A record was altered, so nothing is added to it",
    next: "Verify the record: that says where. Keep it, and begin a new one.",
  },
  "record/entry-invalid": { title: "An entry of a record cannot be", next: asSaid },
  "record/full": { title: "A record is full", next: "Begin a new one." },
  "record/invalid": { title: "A file is no record", next: "Give another name: it is not written over." },
  "record/locked": {
    title: "Another run holds the record",
    next: "Wait for it. When none is under way, remove the lock that the message names.",
  },
  "record/no-digest": { title: "What is expected is no digest", next: "Give the 64 digits that were noted." },
  "record/not-a-file": { title: "A record needs a file", next: "Give its name." },
  "record/unwritable": {
    title: "A record cannot be written",
    next: "Look at the folder, at who may write there, and at the room left.",
  },
  "record/value": { title: "A value cannot stand in a record", next: asSaid },
  "seek/nothing-to-search": {
    title: "No 64 bytes in a row to search, in a read or in common to all",
    next: "Give whole reads of one kind of unit, and the base address of a raw file.",
  },
  "seek/too-wide": {
    title: "The memory with its holes filled is too wide to search",
    next: "Cut the read to the memory that is meant.",
  },
  "usage/format-unsaid": {
    title: "In which format to write was not said",
    next: "Name the format, or a file that ends as the format does.",
  },
  "usage/job-side-unknown": {
    title: "The job sheet names a side that the profile does not know",
    next: "Write the side as the profile does.",
  },
  "usage/job-without-profile": { title: "A job sheet needs a profile", next: "Give a profile." },
  "usage/no-command": { title: "No command was given", next: "Choose one: the help lists them." },
  "usage/no-read": { title: "No read was given", next: "Give the name of a file." },
  "usage/not-understood": {
    title: "The command line was not understood",
    next: "Read the help of the command.",
  },
  "usage/one-file": {
    title: "One file was given as what was meant and as what was read",
    next: "Give the read out of the unit.",
  },
  "usage/out-without-profile": { title: "Nothing is composed without a profile", next: "Give a profile." },
  "usage/output-twice": { title: "Two things would go to standard output", next: "Give a file for one of them." },
  "usage/record-unsaid": { title: "What a record is to say was given, and no record", next: "Name the record." },
  "usage/side-unknown": { title: "The profile knows no such side", next: asSaid },
  "usage/cover-not-raw": {
    title: "Only a raw file covers addresses of which nothing is known",
    next: "Write a raw file, or say nothing of what it covers: formats with addresses leave holes out.",
  },
  "usage/to-without-out": { title: "A format was given, and no file to write", next: "Name the file to write." },
  "usage/too-many-reads": { title: "There are too many reads", next: "Give fewer." },
  "usage/two-names": {
    title: "A file to read and one to write are needed",
    next: "Give both; several files to read must be the parts of one.",
  },
  "usage/vote-of-few": { title: "Two reads cannot be voted", next: "Read the unit a third time." },
  "xml/document-type": {
    title: "A document has a document type, or entities of its own",
    next: `${damaged} No container needs them; files made to exhaust or to spy on whoever opens them have them.`,
  },
  "xml/entity": { title: "A document uses an entity that XML does not have", next: damaged },
  "xml/syntax": { title: "A document is not well-formed XML", next: damaged },
  "xml/too-large": { title: "A document is larger or deeper than any container", next: damaged },
} as const satisfies Readonly<Record<string, RefusalEntry>>;

/** A code of `refusals`. */
export type RefusalCode = keyof typeof refusals;

/** Whether `text` is the code of a refusal. */
export function isRefusalCode(text: string): text is RefusalCode {
  return Object.hasOwn(refusals, text);
}
