import type { Finding } from "../findings/catalogue.js";
import { ImageBuilder, type Trace } from "../image/builder.js";
import type { Image } from "../image/image.js";
import { builtFindings } from "./closing.js";
import type { Origin } from "./decoded.js";

/** What the pieces of a file come to. */
export interface PiecesBuilt {
  readonly image: Image;
  readonly findings: readonly Finding[];
  readonly originOf: (address: number) => Origin | undefined;
}

/**
 * Gathers pieces of a file that each go to one place of the memory, and keeps the way back to them. For formats of
 * blocks and lines; `ImageBuilder` is what puts them together.
 */
export class FilePieces {
  readonly #builder: ImageBuilder;
  readonly #origins: Origin[] = [];
  readonly #lengths: number[] = [];

  /** Room for `capacity` bytes. `exact`: a byte's own offset is told, and not that of its piece. */
  constructor(
    capacity: number,
    readonly exact: boolean,
  ) {
    this.#builder = new ImageBuilder(capacity);
  }

  /**
   * Takes `bytes`, which stand at `origin`, as the content from `address` on.
   * @throws RangeError when they reach past 2**32 or there is no room for them
   */
  add(address: number, bytes: Uint8Array, origin: Origin): void {
    if (bytes.length === 0) return;
    this.#origins.push(origin);
    this.#lengths.push(bytes.length);
    // The builder's line is the number of the piece here: a trace leads to it and to those that follow.
    this.#builder.write(address, bytes, origin.offset, this.#origins.length);
  }

  /** The image of all pieces. The gatherer is spent then. */
  build(): PiecesBuilt {
    const built = this.#builder.build();
    const originOf = (trace: Trace) => this.#originOf(trace);
    return {
      image: built.image,
      findings: builtFindings(built, originOf),
      originOf: (address) => {
        const trace = built.traceOf(address);
        return trace && originOf(trace);
      },
    };
  }

  #originOf({ line, distance }: Trace): Origin {
    let piece = line - 1;
    let rest = distance;
    while (rest >= (this.#lengths[piece] ?? Number.POSITIVE_INFINITY)) rest -= this.#lengths[piece++] as number;
    const origin = this.#origins[piece] as Origin;
    return this.exact ? { ...origin, offset: origin.offset + rest } : origin;
  }
}
