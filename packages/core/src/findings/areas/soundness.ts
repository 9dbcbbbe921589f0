import { formatAddress } from "../../bytes/hex.js";
import { bytes } from "../amounts.js";
import type { Entries } from "../finding.js";
import { type AddressLineFacts, addressLineEntries } from "./soundness/address-lines.js";
import { type DataLineFacts, dataLineEntries } from "./soundness/data-lines.js";
import { type PlaceFacts, placeEntries } from "./soundness/holes-and-repeats.js";
import { type OrderFacts, orderEntries } from "./soundness/order.js";
import { type ReadAtAllFacts, readAtAllEntries } from "./soundness/read-at-all.js";
import { type SeveralReadsFacts, severalReadsEntries } from "./soundness/several-reads.js";
import { type TransferFacts, transferEntries } from "./soundness/transfer.js";

/** What one read alone can show, each with a statistic as its evidence. */
export interface SymptomFacts
  extends ReadAtAllFacts,
    AddressLineFacts,
    DataLineFacts,
    OrderFacts,
    PlaceFacts,
    TransferFacts {}

/** What is made of what was seen. */
interface WeighingFacts {
  "soundness/outweighed-by-checksum": { readonly statistic: string; readonly bytes: number; readonly first: number };
  /** Findings that are left out because `cause` explains them. */
  "soundness/consequences": {
    readonly cause: string;
    readonly codes: readonly { readonly code: string; readonly count: number }[];
  };
}

/** Whether a read is whole and plausible. */
export interface SoundnessFacts extends SymptomFacts, WeighingFacts, SeveralReadsFacts {}

const since = "0.1.0";

const weighingEntries: Entries<WeighingFacts> = {
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
};

export const soundnessEntries: Entries<SoundnessFacts> = {
  ...readAtAllEntries,
  ...addressLineEntries,
  ...dataLineEntries,
  ...orderEntries,
  ...placeEntries,
  ...transferEntries,
  ...weighingEntries,
  ...severalReadsEntries,
};
