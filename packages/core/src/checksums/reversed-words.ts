import type { Running } from "../algorithms/algorithm.js";

const blockLength = 1 << 16;

/**
 * Feeds `running` with the bytes of each word of `size` bytes last first, as a processor does that checks whole words
 * in another order than they lie in memory. The total must be a multiple of `size`: what is left over is never fed.
 */
export function reversing(running: Running, size: number): Pick<Running, "update" | "fill"> {
  const word = new Uint8Array(size);
  let held = 0; // bytes of a word that is not whole yet
  let block: Uint8Array | undefined;

  const put = (byte: number) => {
    word[size - 1 - held] = byte;
    held++;
    if (held < size) return;
    running.update(word.slice());
    held = 0;
  };
  return {
    update(bytes) {
      let at = 0;
      while (held > 0 && at < bytes.length) put(bytes[at++] as number);
      block ??= new Uint8Array(blockLength);
      while (bytes.length - at >= size) {
        const length = Math.min(blockLength, bytes.length - at);
        const whole = length - (length % size);
        for (let start = 0; start < whole; start += size) {
          for (let i = 0; i < size; i++) block[start + i] = bytes[at + start + size - 1 - i] as number;
        }
        running.update(block.subarray(0, whole));
        at += whole;
      }
      while (at < bytes.length) put(bytes[at++] as number);
    },
    fill(byte, count) {
      let left = count;
      while (held > 0 && left > 0) {
        put(byte);
        left--;
      }
      const whole = left - (left % size);
      if (whole > 0) running.fill(byte, whole);
      for (left -= whole; left > 0; left--) put(byte);
    },
  };
}
