import { formatAddress } from "../bytes/hex.js";
import type { Place } from "../findings/finding.js";
import type { RecordFormat, StartAddress } from "./decoded.js";
import type { Remarks } from "./remarks.js";

/** The start address of a file: the first that is stated counts, and every other one is told of. */
export class StartKeeper {
  start: StartAddress | undefined;

  constructor(
    readonly format: RecordFormat,
    readonly remarks: Remarks,
  ) {}

  offer(start: StartAddress, place: Place & { readonly line: number }): void {
    if (!this.start) {
      this.start = start;
    } else if (this.start.address === start.address) {
      this.remarks.repeated(`${this.format}/start-repeated`, place, {});
    } else {
      const facts = { kept: formatAddress(this.start.address), other: formatAddress(start.address) };
      this.remarks.repeated(`${this.format}/start-conflict`, place, facts);
    }
  }
}
