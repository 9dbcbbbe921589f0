import { MEMORY_END } from "../bytes/span.js";
import { finding } from "../findings/catalogue.js";
import type { ImageBuilder } from "../image/builder.js";
import { pairAt } from "./digits.js";
import { type HexRecord, hexTypes } from "./intel-hex-record.js";
import type { RecordPlace } from "./record-reader.js";
import type { Remarks } from "./remarks.js";

/** An offset has 16 bits. */
const SEGMENT = 0x10000;

/** Good data records that nothing places, because the record in `by` was damaged. */
interface Lost {
  readonly by: RecordPlace;
  records: number;
  bytes: number;
  lastLine: number;
}

/** Places data records in memory by the base address in force. */
export class HexAddresses {
  /** What is added to every offset, or undefined while that is not known. */
  base: number | undefined = 0;
  #kind: "none" | "segment" | "linear" = "none";
  #lost: Lost | undefined;

  constructor(
    readonly bytes: Uint8Array,
    readonly builder: ImageBuilder,
    readonly remarks: Remarks,
  ) {}

  /** Takes a base address: the one in force until the next of either kind. */
  rebase(type: typeof hexTypes.segmentBase | typeof hexTypes.linearBase, value: number, place: RecordPlace): void {
    const kind = type === hexTypes.segmentBase ? "segment" : "linear";
    const base = kind === "segment" ? 16 * value : SEGMENT * value;
    if (this.#kind !== "none" && this.#kind !== kind && (this.base ?? 0) > 0) {
      const other = this.base as number;
      const [segment, linear] = kind === "segment" ? [base, other] : [other, base];
      this.remarks.repeated("intel-hex/bases-mixed", place, { segment, linear });
    }
    this.closeLost();
    this.base = base;
    this.#kind = kind;
  }

  /** Forgets the base address, because the record at `place` may have changed it. */
  lose(place: RecordPlace): void {
    this.closeLost();
    this.base = undefined;
    this.#lost = { by: place, records: 0, bytes: 0, lastLine: place.line };
  }

  /** Tells of the records that were left out since the base address was lost. */
  closeLost(): void {
    if (this.#lost && this.#lost.records > 0) {
      const { by, records, bytes, lastLine } = this.#lost;
      const facts = { line: by.line, records, bytes, lastLine };
      this.remarks.damage(by.line, () => finding("intel-hex/base-lost", facts, by));
    }
    this.#lost = undefined;
  }

  /** Writes the data of `record`, in two pieces where its addresses wrap. */
  write(record: HexRecord, place: RecordPlace): void {
    const { count, loadOffset } = record;
    if (count === 0) this.remarks.repeated("intel-hex/record-empty", place, {});
    if (this.base === undefined) {
      this.#leaveOut(count, place);
      return;
    }
    const start = this.base + loadOffset;
    const past = loadOffset + count > SEGMENT;
    if (past && this.#kind === "none") this.remarks.repeated("intel-hex/past-64k", place, { address: start });
    if (past && this.#kind === "segment") {
      this.remarks.repeated("intel-hex/segment-wrap", place, { address: this.base + SEGMENT });
      this.#writePieces(record, SEGMENT - loadOffset, this.base, place);
    } else if (start + count > MEMORY_END) {
      this.remarks.repeated("intel-hex/memory-wrap", place, {});
      this.#writePieces(record, MEMORY_END - start, 0, place);
    } else this.#writePieces(record, count, 0, place);
  }

  /** The first `count` bytes at the record's own address, the others at `restAt`. */
  #writePieces(record: HexRecord, count: number, restAt: number, { line }: RecordPlace): void {
    const { bytes, builder } = this;
    const start = (this.base as number) + record.loadOffset;
    const rest = record.data + 2 * count;
    for (let i = 0; i < record.count; i++) builder.bytes[builder.used + i] = pairAt(bytes, record.data + 2 * i);
    builder.commit(start, count, record.data, line);
    builder.commit(restAt, record.count - count, rest, line);
  }

  #leaveOut(count: number, { line }: RecordPlace): void {
    const lost = this.#lost as Lost;
    lost.records++;
    lost.bytes += count;
    lost.lastLine = line;
  }
}
