import type { Repeated } from "../findings/areas/text-record.js";
import { type Finding, type FindingCode, type FindingFacts, finding } from "../findings/catalogue.js";
import type { Place } from "../findings/finding.js";

/** The codes that are told once for all their occurrences. */
export type RepeatedCode = {
  [Code in FindingCode]: FindingFacts[Code] extends Repeated ? Code : never;
}[FindingCode];

/** What such a code carries besides how often and where it was met: the values of its first occurrence. */
export type FirstFacts<Code extends RepeatedCode> = Omit<FindingFacts[Code], keyof Repeated>;

/** Damaged records that are told one by one. The others are counted. */
const DAMAGE_SHOWN = 100;

/** Occurrences of a repeated code whose lines are named. */
const LINES_NAMED = 5;

interface Occurrences {
  readonly facts: object;
  readonly lines: number[];
  readonly places: Place[];
  count: number;
}

/**
 * What a decoder sees on its way through a file. A thousand deviations of one kind become one finding with their
 * number and the first lines; damage is told record by record, up to a limit.
 */
export class Remarks {
  readonly #damage: Finding[] = [];
  readonly #repeated = new Map<RepeatedCode, Occurrences>();
  #further = 0;
  #lastLine = 0;

  /** Tells of damage in `line` on its own, as long as there is not too much of it. */
  damage(line: number, tell: () => Finding): void {
    if (this.#damage.length < DAMAGE_SHOWN) this.#damage.push(tell());
    else {
      this.#further++;
      this.#lastLine = line;
    }
  }

  /** Counts one more occurrence of `code`; `facts` are kept of the first. */
  repeated<Code extends RepeatedCode>(
    code: Code,
    place: Place & { readonly line: number },
    facts: FirstFacts<Code>,
  ): void {
    const known = this.#repeated.get(code) ?? { facts, lines: [], places: [], count: 0 };
    if (known.count === 0) this.#repeated.set(code, known);
    known.count++;
    if (known.lines.length < LINES_NAMED && known.lines.at(-1) !== place.line) {
      known.lines.push(place.line);
      known.places.push(place);
    }
  }

  /** How many findings of damage there are. */
  get damaged(): number {
    return this.#damage.length;
  }

  /** Everything that was seen: damage as it stands in the file, then each repeated kind in the order of its first. */
  findings(): Finding[] {
    const further = { count: this.#further, lastLine: this.#lastLine };
    return [
      ...this.#damage,
      ...(this.#further > 0 ? [finding("file/further-damage", further, { line: this.#lastLine })] : []),
      ...Array.from(this.#repeated, ([code, { facts, lines, places, count }]) =>
        finding(code, { ...facts, count, lines } as unknown as FindingFacts[typeof code], ...places),
      ),
    ];
  }
}
