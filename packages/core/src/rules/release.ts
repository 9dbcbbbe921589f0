import { finding } from "../findings/catalogue.js";
import type { ReleaseContent, ReleaseReading } from "../identity/release.js";
import type { Wanted } from "../job/schema.js";
import { sameNumber } from "../profile/number.js";
import { releaseName } from "../profile/releases.js";
import { type Judgement, judgement, type Rule } from "./rule.js";

const unlisted: Judgement = { outcome: "not-applicable", because: "the profile lists no releases" };
const unrecognised: Judgement = { outcome: "not-applicable", because: "no listed release was recognised" };

/** Whether a unit is what it says of itself: asked of every unit, whatever part it plays. */
export const releaseRules: readonly Rule<ReleaseReading>[] = [
  {
    id: "release/known",
    judge: ({ listed, software, calibration, numbered, held }) => {
      if (listed === 0) return unlisted;
      const content = held.map(({ name }) => name);
      if (software === undefined) {
        return judgement([], [finding("release/number-untold", { what: "software number", content })]);
      }
      if (numbered.length === 0) {
        const numbers = `software ${releaseName({ software, calibration })}`;
        return judgement([], [finding("release/unknown", { numbers, listed })]);
      }
      return recognised({ numbered, held }).length === 1
        ? judgement([], [])
        : judgement([], [finding("release/number-untold", { what: "calibration number", content })]);
    },
  },
  {
    id: "release/content-is-the-release",
    judge: ({ listed, software, calibration, numbered, held }) => {
      if (listed === 0) return unlisted;
      if (numbered.length === 0) {
        if (held.length === 0) return unrecognised;
        return software === undefined
          ? judgement([], [])
          : judgement([another(releaseName({ software, calibration }), held)], []);
      }
      const said = numbered.map(({ name }) => name).join(" or ");
      const same = numbered.filter(({ content }) => content === "same");
      if (same.length > 0) {
        const unlisted = same.some((one) => one.unlisted.length === 0) ? [] : (same[0]?.unlisted ?? []);
        return judgement([], unlisted.length > 0 ? [finding("release/parts-unlisted", { said, parts: unlisted })] : []);
      }
      const open = numbered.filter(({ content }) => content === "unknown");
      if (open.length > 0) {
        const parts = [...new Set(open.flatMap(({ untold }) => untold))];
        return judgement([], [finding("release/content-untold", { said, parts })]);
      }
      const parts = numbered.flatMap(({ differing }) => differing);
      return judgement(
        [held.length > 0 ? another(said, held) : finding("release/content-changed", { said, parts })],
        [],
      );
    },
  },
  {
    id: "release/hardware-listed",
    judge: (reading) => {
      if (reading.listed === 0) return unlisted;
      const releases = recognised(reading);
      if (releases.length === 0) return unrecognised;
      if (releases.every(({ hardware }) => hardware === "any")) {
        return { outcome: "not-applicable", because: "the profile does not say which hardware runs this release" };
      }
      const of = (standing: ReleaseContent["hardware"]) => releases.filter(({ hardware }) => hardware === standing);
      const fits = of("listed").length > 0 || of("any").length > 0;
      return judgement(
        fits
          ? []
          : of("unlisted").map(({ name, release }) =>
              finding("release/hardware-unlisted", {
                release: name,
                hardware: reading.hardware ?? "",
                listed: release.hardware ?? [],
              }),
            ),
        of("untold").map(({ name, release }) =>
          finding("release/hardware-untold", { release: name, listed: release.hardware ?? [] }),
        ),
      );
    },
  },
];

/** What the rules on the software of a machine are asked of. */
export interface MachineReleaseQuestion {
  /** Measured with the build of the job sheet, where it has one. */
  readonly reading: ReleaseReading;
  /** What the job sheet says of the build: nothing when no sheet was given. */
  readonly build: "given" | "left-out" | "no-sheet";
  readonly wanted: Wanted | undefined;
}

/** Whether it is the right software for the machine: asked of the units that belong to it, and of what is to be written. */
export const machineReleaseRules: readonly Rule<MachineReleaseQuestion>[] = [
  {
    id: "release/build-fits",
    judge: ({ reading, build }) => {
      if (reading.listed === 0) return unlisted;
      if (reading.withBuilds === 0) return { outcome: "not-applicable", because: "the profile names no builds" };
      if (build === "no-sheet") return { outcome: "not-applicable", because: "no job sheet was given" };
      if (build === "left-out") {
        return judgement([], [finding("release/not-asked", { releases: reading.withBuilds })]);
      }
      const releases = recognised(reading);
      if (releases.length === 0) return unrecognised;
      if (releases.some((one) => one.build?.fit === "fits")) return judgement([], []);
      const open = releases.flatMap(({ name, build: fit }) =>
        fit?.fit === "untold" ? [finding("release/build-untold", { release: name, missing: fit.missing })] : [],
      );
      if (open.length > 0) return judgement([], open);
      return judgement(
        releases.flatMap(({ name, build: fit }) =>
          fit?.fit === "other" ? [finding("release/other-build", { release: name, differing: fit.differing })] : [],
        ),
        [],
      );
    },
  },
  {
    id: "release/current",
    judge: ({ reading }) => {
      if (reading.listed === 0) return unlisted;
      const releases = recognised(reading);
      if (releases.length === 0) return unrecognised;
      return judgement(
        [],
        [],
        releases.flatMap(({ name, successors }) =>
          successors.length > 0 ? [finding("release/superseded", { release: name, successors })] : [],
        ),
      );
    },
  },
  {
    id: "release/wanted",
    judge: ({ reading: { software, calibration }, wanted }) => {
      if (!wanted) return { outcome: "not-applicable", because: "the job sheet names no wanted software" };
      const name = releaseName(wanted);
      if (software === undefined) {
        return judgement([], [finding("release/wanted-untold", { wanted: name, what: "software number" })]);
      }
      const other = (found: string) => judgement([finding("release/other-than-wanted", { wanted: name, found })], []);
      if (!sameNumber(software, wanted.software)) return other(releaseName({ software, calibration }));
      if (wanted.calibration === undefined) return judgement([], []);
      if (calibration === undefined) {
        return judgement([], [finding("release/wanted-untold", { wanted: name, what: "calibration number" })]);
      }
      return sameNumber(calibration, wanted.calibration)
        ? judgement([], [])
        : other(releaseName({ software, calibration }));
    },
  },
];

/** The releases that the unit is taken for: by number and content where they agree, else by number, else by content. */
function recognised({ numbered, held }: Pick<ReleaseReading, "numbered" | "held">): readonly ReleaseContent[] {
  const both = numbered.filter(({ content }) => content === "same");
  return both.length > 0 ? both : numbered.length > 0 ? numbered : held;
}

function another(said: string, held: readonly ReleaseContent[]) {
  return finding("release/content-of-another", { said, held: held.map(({ name }) => name) });
}
