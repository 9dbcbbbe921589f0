import type { Entries } from "../finding.js";

/** What decoders see in a file: how it is written, never what it means. */
export interface FormatFacts {
  "file/empty": { format: string };
}

export const formatEntries: Entries<FormatFacts> = {
  "file/empty": {
    severity: "stop",
    title: "The file holds no data",
    says: ({ format }) => `the file was read as ${format} and holds no byte of memory`,
    expected: () => "at least one byte of memory",
    found: () => "none",
    why: "An empty read proves nothing about a unit, and writing it would leave the unit without software.",
    next: "Read the unit again and check the size of the file before it is moved anywhere.",
    since: "0.1.0",
  },
};
