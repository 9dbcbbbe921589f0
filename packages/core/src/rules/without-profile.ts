import type { Likeness } from "../compare/without-profile.js";
import { finding } from "../findings/catalogue.js";
import { judgement, type Rule } from "./rule.js";

/** What the rules on two images without a profile are asked of. */
export interface LikenessQuestion {
  readonly likeness: Likeness;
  readonly sameFile: string | undefined;
}

/**
 * Below this share of equal content two images cannot be one software. Rebuilds and region variants of real open
 * firmware share 90 % and more at the same addresses; unrelated software of one size less than 20 % (measured on the
 * real images of the test corpus).
 */
const unrelatedShare = 0.5;

/** Places with content, below which a share says nothing: a nearly empty part may hold little but its serial number. */
const enoughContent = 256;

/** Places that a report describes one by one. */
const described = 8;

export const likenessRules: readonly Rule<LikenessQuestion>[] = [
  {
    id: "pair/two-units-given",
    judge: ({ likeness: { inside }, sameFile }) =>
      judgement(
        sameFile === undefined ? [] : [finding("pair/same-file", { sha256: sameFile })],
        inside === "both" && sameFile === undefined ? [finding("pair/contents-identical", {})] : [],
      ),
  },
  {
    id: "pair/images-alike",
    judge: ({ likeness }) => {
      const { share, difference, beyond, moved, bytes, inside, clusters, clusterCount } = likeness;
      const alike = moved && moved.share >= unrelatedShare ? moved : undefined;
      if (difference.compared === 0) {
        return judgement([], [finding("pair/nothing-compared", { free: 0, moved: alike })]);
      }
      if (share !== undefined && share < unrelatedShare && likeness.content >= enoughContent) {
        return judgement([finding("pair/unrelated", { share, bytes: difference.bytes, moved: alike })], []);
      }
      const inner = inside === "left" || inside === "right" ? inside : undefined;
      const extent = inner
        ? [
            finding("pair/one-inside-other", {
              inner,
              inside: bytes[inner],
              whole: bytes[inner === "left" ? "right" : "left"],
            }),
          ]
        : bytes.left !== bytes.right
          ? [finding("pair/sizes-differ", { ...bytes, beyond })]
          : [];
      if (difference.bytes === 0) return judgement([], extent);
      const kinds = [...new Set(clusters.map(({ kind }) => kind))].map((kind) => ({
        kind,
        clusters: clusters.filter((cluster) => cluster.kind === kind).length,
      }));
      const facts = {
        bytes: difference.bytes,
        runs: difference.runs.length,
        clusters: clusterCount,
        share: share ?? 1,
        kinds,
      };
      return judgement(
        [],
        [
          ...extent,
          finding(
            "pair/differences-unexplained",
            facts,
            ...clusters.slice(0, described).map(({ span }) => ({ role: "right", span })),
          ),
        ],
        clusters
          .slice(0, described)
          .map(({ span, kind, bytes: size, left, right, text }) =>
            finding(
              "pair/difference-described",
              { kind, bytes: size, start: span.start, left, right, text },
              { role: "right", span },
            ),
          ),
      );
    },
  },
];
