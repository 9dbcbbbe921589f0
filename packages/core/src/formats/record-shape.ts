/** How the data records of a format are built. */
export interface RecordShape {
  /** Mark, and the type where it follows the mark: one or two characters. */
  readonly mark: string;
  /** What the length field counts besides the data. */
  readonly counted: number;
  /** Bytes of the address field, 2 to 4. */
  readonly addressLength: number;
  /** Whether a type follows the address. That of a data record is 0. */
  readonly typed: boolean;
  /** What the bytes of a record and its checksum add up to, modulo 256. */
  readonly total: number;
}

/** The data records of Intel HEX (Intel 1988): type 00. */
export const hexData: RecordShape = { mark: ":", counted: 0, addressLength: 2, typed: true, total: 0 };

/** The data records of Motorola by the bytes of their address: S1, S2 and S3 (M68000 Programmer's Reference Manual, Appendix C). */
export function sData(addressLength: 2 | 3 | 4): RecordShape {
  return { mark: `S${addressLength - 1}`, counted: addressLength + 1, addressLength, typed: false, total: 0xff };
}

/** Characters of a record before its data. */
export function headOf({ mark, addressLength, typed }: RecordShape): number {
  return mark.length + 2 * (1 + addressLength + (typed ? 1 : 0));
}
