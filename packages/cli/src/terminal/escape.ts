const plain = /^[ -~]*$/;

/**
 * Whether `character` is plainly visible: a letter with its marks, a number, punctuation, a symbol or the blank; of these,
 * nothing that Unicode declares invisible by default (fillers, joiners, selectors). Most texts need no such look, and these
 * patterns take a millisecond to make: so they are made here.
 */
function isVisible(character: string): boolean {
  return /^[\p{L}\p{M}\p{N}\p{P}\p{S} ]$/u.test(character) && !/^\p{Default_Ignorable_Code_Point}$/u.test(character);
}

/**
 * `text` with every character that could move a cursor, change a colour, turn the reading direction, join or hide
 * written as \xNN or \u{N}: one line, safe on any terminal. Done twice it gives the same as done once.
 */
export function escapeForTerminal(text: string): string {
  if (plain.test(text)) return text;
  let shown = "";
  for (const character of text) {
    if (isVisible(character)) shown += character;
    else {
      const code = character.codePointAt(0) as number;
      shown += code <= 0xff ? `\\x${code.toString(16).padStart(2, "0")}` : `\\u{${code.toString(16)}}`;
    }
  }
  return shown;
}

/** JSON text of the same value in which no such character stands by itself: what is not visible is \uNNNN. */
export function escapeJson(json: string): string {
  // Outside its strings JSON holds ASCII and, when indented, line feeds: both stay.
  return json.replace(/[^\n -~]/gu, (character) => {
    if (isVisible(character)) return character;
    let escaped = "";
    for (let i = 0; i < character.length; i++) {
      escaped += `\\u${character.charCodeAt(i).toString(16).padStart(4, "0")}`;
    }
    return escaped;
  });
}
