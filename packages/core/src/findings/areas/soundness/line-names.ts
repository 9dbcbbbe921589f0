/** A line of the data bus, by its bit in a byte (lane) of the word. */
export const dataLine = (bus: number, lane: number, bit: number) =>
  bus === 8 ? `data line D${bit}` : `data line ${bit} of byte ${lane} of the ${bus}-bit word`;

/** One of two lines, by its bit in the word. */
export const pairLine = (bus: number, bit: number) =>
  bus === 8 ? `D${bit}` : `bit ${bit % 8} of byte ${bit >= 8 ? 0 : 1}`;
