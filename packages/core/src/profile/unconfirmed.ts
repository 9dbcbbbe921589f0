import type { Profile } from "./schema/profile.js";

/** A statement of a profile that a person has still to confirm. */
export interface Unconfirmed {
  /** Where it stands in the document: `regions[2]`. */
  readonly path: string;
  /** What people call it: `region program`. */
  readonly statement: string;
  readonly why: string;
}

/** The statements of `profile` that are marked as unconfirmed, in the order in which they stand. */
export function unconfirmedIn({ memory, regions, fields, checksums, volatile, pair }: Profile): readonly Unconfirmed[] {
  const list = (kind: string, path: string, all: readonly { name?: string; unconfirmed?: string | undefined }[]) =>
    all.flatMap(({ name, unconfirmed }, i): Unconfirmed[] =>
      unconfirmed === undefined
        ? []
        : [{ path: `${path}[${i}]`, statement: `${kind} ${name ?? i + 1}`, why: unconfirmed }],
    );
  const one = (statement: string, path: string, why: string | undefined): Unconfirmed[] =>
    why === undefined ? [] : [{ path, statement, why }];
  return [
    ...one("memory", "memory", memory.unconfirmed),
    ...list("region", "regions", regions),
    ...list("field", "fields", fields),
    ...list("checksum", "checksums", checksums),
    ...list("volatile part", "volatile", volatile),
    ...one("the sides", "pair.sides", pair?.sides?.unconfirmed),
    ...list("pairing rule", "pair.rules", pair?.rules ?? []),
  ];
}
