// The public surface, in the order of the flow.

export * from "./algorithms/algorithm.js";
export * from "./algorithms/crc.js";
export * from "./algorithms/crc-catalogue.js";
export * from "./algorithms/digest.js";
export * from "./algorithms/reversed-words.js";
export { onesComplement, twosComplement } from "./algorithms/sum.js";
export * from "./algorithms/sum-catalogue.js";
export * from "./bytes/hex.js";
export * from "./bytes/span.js";
export * from "./bytes/text.js";
export * from "./checksums/facts.js";
export * from "./checksums/measure.js";
export * from "./checksums/recompute.js";
export { type Composition, compose } from "./compose/compose.js";
export { type Plan, type PlanPart, planOf } from "./compose/plan.js";
export type { Certainty } from "./discover/chance.js";
export { SHORTEST_RANGE } from "./discover/ground.js";
export type { Hit } from "./discover/hit.js";
export type { PossiblePlaces } from "./discover/place-of-value.js";
export { type PlanOptions, planSeek, runSeekTask, type SeekPlan, type SeekTask } from "./discover/plan.js";
export type { CrcParameters, FoundChecksum } from "./discover/result.js";
export * from "./discover/seek.js";
export { type Doubt, type Draft, type DraftNames, draftProfile } from "./draft/draft.js";
export { type DraftRead, type DraftTold, familyOf, mostDraftReads } from "./draft/family.js";
export type { Contradiction, HeldStatement } from "./draft/held.js";
export type { Advice } from "./draft/next.js";
export type { OldProfile } from "./draft/refine.js";
export type { Way } from "./draft/variation.js";
export * from "./findings/catalogue.js";
export * from "./findings/finding.js";
export * from "./findings/refusal.js";
export * from "./findings/refusals.js";
export * from "./fingerprint/content.js";
export * from "./fingerprint/fingerprint.js";
export * from "./fingerprint/readable.js";
export * from "./fingerprint/recipe.js";
export {
  type FilePackage,
  openPackage,
  UNPACKED_AT_ANY_RATIO,
  UNPACKED_RATIO,
  type UnpackLimits,
  unpackedDocument,
} from "./formats/container.js";
export * from "./formats/decode.js";
export * from "./formats/decoded.js";
export * from "./formats/detect.js";
export * from "./formats/encode.js";
export * from "./formats/flash-container.js";
export * from "./formats/layout.js";
export * from "./formats/part-files.js";
export * from "./formats/parts.js";
export { decodeRaw, type RawOptions } from "./formats/raw.js";
export * from "./identity/facts.js";
export * from "./identity/find-machine-numbers.js";
export * from "./identity/machine-number.js";
export * from "./identity/measure.js";
export * from "./identity/reading.js";
export * from "./identity/release.js";
export * from "./identity/verification.js";
export * from "./image/difference.js";
export * from "./image/image.js";
export * from "./job/data-identifiers.js";
export * from "./job/load.js";
export * from "./job/outside.js";
export type { JobSheet } from "./job/schema.js";
export * from "./names/description.js";
export type { ObjectKind, ObjectPart, StoredCount } from "./names/laid-out.js";
export type { NamedObject } from "./names/object.js";
export * from "./names/place.js";
export { type ProcessorFamily, processorFamilies } from "./processor/family.js";
export * from "./processor/recognise.js";
export * from "./profile/load.js";
export type { FlashBlock, FlashData, FlashSegment } from "./profile/odx/block.js";
export * from "./profile/odx/container.js";
export * from "./profile/odx/container-profile.js";
export * from "./profile/odx/session-image.js";
export type { FlashIdent, OdxValue } from "./profile/odx/values.js";
export type { Profile, ProfileDocument } from "./profile/schema/profile.js";
export * from "./profile/unconfirmed.js";
export { askCheck, type CheckRequest } from "./questions/check.js";
export * from "./questions/donor.js";
export * from "./questions/input.js";
export type { NamesGiven } from "./questions/names.js";
export { askPair, type PairRequest } from "./questions/pair.js";
export * from "./questions/readback.js";
export * from "./questions/vote.js";
export { type Appended, appendRecord, checkRecordable } from "./record/append.js";

export * from "./record/chain.js";
export * from "./record/entry.js";
export * from "./record/read.js";
export type { NewRecordEntry, PlainValue, RecordDocument, RecordEntry } from "./record/schema.js";
export * from "./record/verify.js";
export * from "./report/schema.js";
export { type Cause, causeOf, type Symptom } from "./soundness/cause.js";
export { type Block, type BlockKind, blockKinds, kindsOf } from "./soundness/kinds.js";
export { measureSoundness, type SoundnessContext, type SoundnessMeasures } from "./soundness/measure.js";
export { measureReads, type ReadDifference } from "./soundness/read-differences.js";
export { type Vote, voteOf } from "./soundness/vote.js";
export { type DataTable, findTables, type TableAxis } from "./tables/find.js";
export * from "./tables/place.js";
export * from "./unit/unit.js";
export * from "./verdict/verdict.js";
