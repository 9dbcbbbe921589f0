import type { Finding } from "../findings/catalogue.js";
import type { Decoded } from "./decoded.js";
import { pairAt } from "./digits.js";
import { type RecordPlace, RecordReader } from "./record-reader.js";
import { type TektronixRecord, tektronixGrammar } from "./tektronix-hex-record.js";

/**
 * The image that a file in Tektronix extended hex describes. Source: srec_tektronix_extended(5) of SRecord 1.64; the
 * variable width of addresses and the symbol records: from memory, as GNU objcopy writes them. A damaged record is
 * told of and left out, and reading goes on after it.
 */
export function decodeTektronixHex(bytes: Uint8Array): Decoded {
  return new TektronixReader(bytes, tektronixGrammar).read();
}

class TektronixReader extends RecordReader<TektronixRecord> {
  protected readonly endRecords = "type 8";

  protected readPlain(): void {}

  protected take(record: TektronixRecord, place: RecordPlace): void {
    const { address, count, data, isData, isEnd, small } = record;
    if (small) this.remarks.repeated("tektronix-hex/small-digits", place, {});
    if (isEnd) {
      this.ended = true;
      this.start.offer({ kind: "termination", address }, place);
    } else if (!isData) this.remarks.repeated("tektronix-hex/symbols", place, {});
    else {
      if (count === 0) this.remarks.repeated("tektronix-hex/record-empty", place, {});
      const { builder, bytes } = this;
      for (let i = 0; i < count; i++) builder.bytes[builder.used + i] = pairAt(bytes, data + 2 * i);
      builder.commit(address, count, data, place.line);
    }
  }

  protected leftOut(): void {}

  protected closing(): readonly Finding[] {
    return [];
  }
}
