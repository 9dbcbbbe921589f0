import type { Finding } from "../findings/catalogue.js";
import type { Decoded } from "./decoded.js";
import { pairAt } from "./digits.js";
import { HexAddresses } from "./intel-hex-address.js";
import { type HexRecord, hexGrammar, hexTypes, mayPlace } from "./intel-hex-record.js";
import { readPlainRecords } from "./plain-records.js";
import { type RecordPlace, RecordReader } from "./record-reader.js";
import { hexData } from "./record-shape.js";
import type { Stretch } from "./text.js";

/**
 * The image that a file in Intel HEX describes. Source: Intel, Hexadecimal Object File Format Specification, Revision
 * A, 6 January 1988: after a segment base an offset wraps inside 64 KiB, after a linear base an address wraps at
 * 4 GiB. A damaged record is told of and left out, and reading goes on after it.
 */
export function decodeIntelHex(bytes: Uint8Array): Decoded {
  return new IntelHexReader(bytes, hexGrammar).read();
}

class IntelHexReader extends RecordReader<HexRecord> {
  protected readonly endRecords = "type 01";
  readonly #addresses = new HexAddresses(this.bytes, this.builder, this.remarks);

  protected readPlain(): void {
    const { base } = this.#addresses;
    if (base !== undefined) readPlainRecords(this.bytes, this.cursor, hexData, base, this.builder);
  }

  protected take(record: HexRecord, place: RecordPlace): void {
    const { type, loadOffset, data } = record;
    if (record.isData) this.#addresses.write(record, place);
    else if (record.isEnd) this.#end(loadOffset, place);
    else {
      if (loadOffset !== 0) this.remarks.repeated("intel-hex/address-field-used", place, {});
      const high = this.#word(data);
      if (type === hexTypes.segmentBase || type === hexTypes.linearBase) this.#addresses.rebase(type, high, place);
      else if (type === hexTypes.linearStart) {
        this.start.offer({ kind: "linear", address: 0x10000 * high + this.#word(data + 4) }, place);
      } else {
        const offset = this.#word(data + 4);
        this.start.offer({ kind: "segmented", address: 16 * high + offset, segment: high, offset }, place);
      }
    }
  }

  protected leftOut(digits: Stretch, place: RecordPlace): void {
    if (mayPlace(this.bytes, digits)) this.#addresses.lose(place);
  }

  protected closing(): readonly Finding[] {
    this.#addresses.closeLost();
    return [];
  }

  #end(address: number, place: RecordPlace): void {
    this.ended = true;
    if (address === 0) return;
    this.remarks.repeated("intel-hex/end-address", place, { address });
    this.start.offer({ kind: "termination", address }, place);
  }

  #word(at: number): number {
    return 256 * pairAt(this.bytes, at) + pairAt(this.bytes, at + 2);
  }
}
