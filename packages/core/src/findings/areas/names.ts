import { formatAddress } from "../../bytes/hex.js";
import { showText } from "../../bytes/text.js";
import type { Entries } from "../finding.js";

/** What can be said of a measurement description (ASAM MCD-2 MC) beside the images whose places it is to name. */
export interface NamesFacts {
  "names/other-software": {
    readonly file: string;
    readonly identifier: string;
    readonly address: number;
    /** What stands there instead, one character a byte; undefined where it is not to be shown. */
    readonly found: string | undefined;
  };
  "names/software-untold": { readonly file: string; readonly why: "no-identifier" | "no-address" | "not-read" };
}

const untold = {
  "no-identifier": "it states no identifier",
  "no-address": "it does not state where its identifier stands",
  "not-read": "the place of its identifier was not read",
} as const;

export const namesEntries: Entries<NamesFacts> = {
  "names/other-software": {
    severity: "review",
    title: "The names may not fit this software",
    says: ({ file, identifier, address, found }) =>
      `${file} is for "${showText(identifier)}", and ${formatAddress(address)} holds ${found === undefined ? foundText(found) : `"${showText(found)}"`}; no name of it is given`,
    expected: ({ identifier }) => showText(identifier),
    found: ({ found }) => foundText(found),
    why: "The same address holds another thing in other software, so a name of the one would lie about the other.",
    next: "Find the description of the software that is in the unit. When this is the right one, the unit holds other software than was thought.",
    since: "0.1.0",
  },
  "names/software-untold": {
    severity: "note",
    title: "Whether the names are of this software could not be told",
    says: ({ file, why }) => `${file}: ${untold[why]}, so nothing says that its names fit`,
    why: "A description of other software gives wrong names.",
    next: "Compare what the description says of itself with the software number of the unit.",
    since: "0.1.0",
  },
};

function foundText(found: string | undefined): string {
  return found === undefined ? "another text" : showText(found);
}
