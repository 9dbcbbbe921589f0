/** Intel HEX and S-record text, written plainly from the published formats; rows that are all erased are left out. */

const ROW = 32;

/** The rows that hold something, with the address of each. */
function* rows(bytes: Uint8Array): Generator<readonly [address: number, row: Uint8Array]> {
  for (let at = 0; at < bytes.length; at += ROW) {
    const row = bytes.subarray(at, at + ROW);
    if (row.some((byte) => byte !== 0xff)) yield [at, row];
  }
}

const hex = (bytes: Iterable<number>) =>
  [...bytes]
    .map((byte) => byte.toString(16).padStart(2, "0"))
    .join("")
    .toUpperCase();
const sum = (bytes: readonly number[]) => bytes.reduce((total, byte) => (total + byte) % 0x100, 0);
const bytesOf = (value: number, count: number) =>
  Array.from({ length: count }, (_, i) => Math.floor(value / 0x100 ** (count - 1 - i)) % 0x100);

/** Records of 32 bytes, a record of the upper address (type 04) before each 64 KiB, and the end record. */
export function intelHex(bytes: Uint8Array): Uint8Array {
  const lines: string[] = [];
  const record = (type: number, offset: number, data: readonly number[]) => {
    const body = [data.length, ...bytesOf(offset, 2), type, ...data];
    lines.push(`:${hex([...body, (0x100 - sum(body)) % 0x100])}`);
  };
  let upper = -1;
  for (const [address, row] of rows(bytes)) {
    if (Math.floor(address / 0x10000) !== upper) {
      upper = Math.floor(address / 0x10000);
      record(4, 0, bytesOf(upper, 2));
    }
    record(0, address % 0x10000, [...row]);
  }
  record(1, 0, []);
  return Buffer.from(`${lines.join("\r\n")}\r\n`, "latin1");
}

/** A header, records of 32 bytes at 24-bit addresses (S2), their count (S5) and the end record (S8). */
export function sRecords(bytes: Uint8Array, title: string): Uint8Array {
  const lines: string[] = [];
  const record = (type: number, address: readonly number[], data: readonly number[]) => {
    const body = [address.length + data.length + 1, ...address, ...data];
    lines.push(`S${type}${hex([...body, 0xff - sum(body)])}`);
  };
  record(0, [0, 0], [...Buffer.from(title, "latin1")]);
  let count = 0;
  for (const [address, row] of rows(bytes)) {
    record(2, bytesOf(address, 3), [...row]);
    count++;
  }
  record(5, bytesOf(count, 2), []);
  record(8, [0, 0, 0], []);
  return Buffer.from(`${lines.join("\n")}\n`, "latin1");
}
