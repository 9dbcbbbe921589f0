/** The halves of words that are bytes differ by less than this part of what those of far words do. */
const nearer = 0.5;

/**
 * Whether words are pairs of bytes that go smoothly: the halves of a word are near each other, those of far words not. A
 * table of bytes fills the first half of one that is read as words; what stands behind it says nothing.
 */
export function areBytes(read: Uint16Array): boolean {
  const words = read.subarray(0, read.length >> 1);
  let inside = 0;
  let apart = 0;
  let looked = 0;
  for (let i = 0; i < words.length; i++) {
    const word = words[i] as number;
    if (isFill(word)) continue;
    const far = words[(i + (words.length >> 1)) % words.length] as number;
    looked++;
    inside += Math.abs((word >> 8) - (word & 0xff));
    apart += isFill(far) ? 0 : Math.abs((word >> 8) - (far >> 8));
  }
  return looked > 0 && inside < nearer * apart;
}

/** Whether nothing is in the last `columns` values: then the table may end before. */
export function endsInFill(values: Uint16Array, columns: number, width: 1 | 2): boolean {
  const last = values[values.length - 1] as number;
  if (last !== 0 && last !== 256 ** width - 1) return false;
  for (let i = values.length - columns; i < values.length; i++) if (values[i] !== last) return false;
  return true;
}

function isFill(word: number): boolean {
  return word === 0 || word === 0xffff;
}
