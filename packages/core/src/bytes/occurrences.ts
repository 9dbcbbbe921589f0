/** Where `wanted` begins in `bytes`, overlaps and all, in time linear in both (Knuth, Morris and Pratt). */
export function* occurrences(bytes: Uint8Array, wanted: Uint8Array): Generator<number, void, undefined> {
  const shorter = shorterMatches(wanted);
  let matched = 0;
  for (let at = 0; at < bytes.length; at++) {
    if (matched === 0) at = bytes.indexOf(wanted[0] as number, at);
    if (at < 0) return;
    while (matched > 0 && bytes[at] !== wanted[matched]) matched = shorter[matched - 1] as number;
    if (bytes[at] === wanted[matched]) matched++;
    if (matched === wanted.length) {
      yield at - matched + 1;
      matched = shorter[matched - 1] as number;
    }
  }
}

/** For each length of a match less one: the longest shorter match that ends in the same place. */
function shorterMatches(wanted: Uint8Array): Uint16Array {
  const shorter = new Uint16Array(wanted.length);
  for (let at = 1, matched = 0; at < wanted.length; at++) {
    while (matched > 0 && wanted[at] !== wanted[matched]) matched = shorter[matched - 1] as number;
    if (wanted[at] === wanted[matched]) matched++;
    shorter[at] = matched;
  }
  return shorter;
}
