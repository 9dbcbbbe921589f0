import type { Digest, Hashing } from "../algorithms/digest.js";
import { toHex } from "../bytes/hex.js";
import type { Span } from "../bytes/span.js";
import { fromLatin1 } from "../bytes/text.js";
import type { Image } from "../image/image.js";

/** Small pieces are gathered in a block of this size: fed one by one, each would cost as much as a thousand bytes. */
const blockLength = 4096;
const smallPiece = 512;

/** A stream of bytes on its way through SHA-256. It is hashed as it comes and never held as a whole. */
export class Stream {
  readonly #hash: Hashing;
  readonly #block = new Uint8Array(blockLength);
  #used = 0;

  constructor(hashes: Digest) {
    this.#hash = hashes("SHA-256");
  }

  /** Adds ASCII text. */
  addText(text: string): void {
    this.addBytes(fromLatin1(text) as Uint8Array);
  }

  addBytes(bytes: Uint8Array): void {
    if (bytes.length >= smallPiece || this.#used + bytes.length > blockLength) this.#flush();
    if (bytes.length >= smallPiece) {
      this.#hash.update(bytes);
      return;
    }
    this.#block.set(bytes, this.#used);
    this.#used += bytes.length;
  }

  /** Adds the bytes of `span` in address order, each byte that is not known as `fill`. */
  addSpan(image: Image, span: Span, fill: number): void {
    let at = span.start;
    for (const { address, bytes } of image.within(span)) {
      this.#addFill(fill, address - at);
      this.addBytes(bytes);
      at = address + bytes.length;
    }
    this.#addFill(fill, span.end - at);
  }

  /** The digest of all that was added, lower-case hex. Nothing may be added afterwards. */
  digest(): string {
    this.#flush();
    return toHex(this.#hash.digest());
  }

  #addFill(byte: number, length: number): void {
    for (let left = length; left > 0; ) {
      if (this.#used === blockLength) this.#flush();
      const end = Math.min(this.#used + left, blockLength);
      this.#block.fill(byte, this.#used, end);
      left -= end - this.#used;
      this.#used = end;
    }
  }

  #flush(): void {
    if (this.#used > 0) this.#hash.update(this.#block.subarray(0, this.#used));
    this.#used = 0;
  }
}
