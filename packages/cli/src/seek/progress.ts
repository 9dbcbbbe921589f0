import type { World } from "../world.js";

/** Told at most so often. */
const everyMilliseconds = 200;

/** Shows on a terminal how far a search has come; where there is none it says nothing. */
export class Progress {
  readonly #began: number;
  #shown = 0;
  #open = false;

  constructor(
    readonly world: World,
    readonly wanted: boolean,
  ) {
    this.#began = world.now().getTime();
  }

  /** The share of the work that is done, and how much was found. */
  async show(share: number, count: () => number): Promise<void> {
    const now = this.world.now().getTime();
    if (!this.wanted || !this.world.stderr.isTerminal || now - this.#shown < everyMilliseconds) return;
    this.#shown = now;
    this.#open = true;
    const passed = (now - this.#began) / 1000;
    const left = share > 0.02 ? `, about ${Math.ceil((passed * (1 - share)) / share)} s left` : "";
    const found = count();
    const sofar = found > 0 ? `, ${found} found` : "";
    await this.world.stderr.write(`\r\x1b[2Kseek: ${Math.floor(100 * share)} %${left}${sofar} (Ctrl-C stops)`);
  }

  async end(): Promise<void> {
    if (this.#open) await this.world.stderr.write("\r\x1b[2K");
  }
}
