/** A statistic, and the value from which it counts. */
export interface Evidence {
  readonly measured: number;
  readonly threshold: number;
  /** Bytes, pairs or pieces that were looked at. */
  readonly of: number;
  /** Other things that were seen and that this one explains: codes without their area. */
  readonly also: readonly string[];
  /** What else than a statistic says it: so many checksums hold once it is put right (`measured`). */
  readonly proof?: "checksums";
}

export const percent = (share: number) => `${Math.round(1000 * share) / 10} %`;
/** So many times as much. */
export const times = (gain: number) => `${Math.round(10 * gain) / 10} times`;

/** What else a fault of the whole image explains. */
export const also = (facts: Evidence) =>
  facts.also.length === 0
    ? ""
    : `; it also explains: ${facts.also.map((name) => name.replaceAll("-", " ")).join(", ")}`;

/** Why a fault of every byte or word matters. */
export const unsafe =
  "Nothing that is read out of this image can be relied on, and writing it would put the damage into the unit.";
