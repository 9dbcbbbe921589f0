// The public surface. What is not named here is no promise.

// Whole questions: files in, a report out.

export { askCheck, type CheckRequest } from "./questions/check.js";
export { askDonor, type DonorAnswer, type DonorRequest } from "./questions/donor.js";
export { type InputFile, inputOf, type PartFile, reportInput } from "./questions/input.js";
export type { NamesGiven } from "./questions/names.js";
export { askPair, type PairRequest } from "./questions/pair.js";
export { askReadback, type ReadbackRequest } from "./questions/readback.js";
export { askVote, type VoteAnswer } from "./questions/vote.js";

// What comes out of them: the report, its findings, and refusals.

export {
  catalogue,
  entryOf,
  type Finding,
  type FindingCode,
  type FindingFacts,
  isFindingCode,
} from "./findings/catalogue.js";
export type { CatalogueEntry, Place, Severity } from "./findings/finding.js";
export { Refusal, type RefusalPlace } from "./findings/refusal.js";
export { isRefusalCode, type RefusalCode, type RefusalEntry, refusals } from "./findings/refusals.js";
export {
  type ErrorDocument,
  errorSchema,
  type Report,
  type ReportCheck,
  type ReportChecksum,
  type ReportDifference,
  type ReportFinding,
  type ReportImage,
  type ReportInput,
  type ReportPlan,
  type ReportProcessor,
  reportSchema,
} from "./report/schema.js";
export type { Verdict } from "./verdict/verdict.js";

// Files: decoded, written, unpacked.

export {
  type FilePackage,
  openPackage,
  UNPACKED_AT_ANY_RATIO,
  UNPACKED_RATIO,
  type UnpackLimits,
  unpackedDocument,
} from "./formats/container.js";
export { type DecodeOptions, decode, UNPACKED_LIMIT } from "./formats/decode.js";
export {
  type Decoded,
  type FormatName,
  formatNames,
  type ImageSource,
  isBare,
  type Origin,
  type StartAddress,
  type WrittenFormatName,
  writtenFormatNames,
} from "./formats/decoded.js";
export { type Detection, detectFormat } from "./formats/detect.js";
export { type EncodeOptions, encode } from "./formats/encode.js";
export { type LayoutName, layoutNames } from "./formats/layout.js";
export { decodeParts, type PartsOptions } from "./formats/part-files.js";
export { type Arrangement, arrangements } from "./formats/parts.js";

// Memory: images with holes, and spans of addresses.

export { formatAddress, fromHex, toHex } from "./bytes/hex.js";
export {
  common,
  contains,
  intersection,
  lengthOf,
  MEMORY_END,
  normalised,
  overlap,
  type Span,
  spanOf,
  subtract,
  totalLength,
} from "./bytes/span.js";
export { isPathInside } from "./bytes/text.js";
export { alike, type Difference, differenceOf, differingSpans } from "./image/difference.js";
export { Image, type Segment } from "./image/image.js";

// Checksum algorithms, and what a platform computes faster.

export {
  type Accelerators,
  type Algorithm,
  type AlgorithmChoice,
  type AlgorithmKind,
  algorithmNamed,
  algorithmNames,
  algorithmOf,
} from "./algorithms/algorithm.js";
export type { CrcModel, PlatformCrc32 } from "./algorithms/crc.js";
export { type CrcRow, crcCatalogue } from "./algorithms/crc-catalogue.js";
export type { Digest, Hashing, HashName } from "./algorithms/digest.js";
export type { Running } from "./algorithms/running.js";
export { type SumRow, sumCatalogue } from "./algorithms/sum-catalogue.js";

// Profiles, and the flash containers that they are made of.

export { type FlashContainerKind, flashContainerKind, flashDocuments } from "./formats/flash-container.js";
export { loadProfile, type ProfileReading, profileJsonSchema, readProfile } from "./profile/load.js";
export type { FlashBlock, FlashData, FlashSegment } from "./profile/odx/block.js";
export {
  type FlashChecksum,
  type FlashContainer,
  type FlashSecurity,
  type FlashSession,
  type PhysicalSegment,
  readFlashContainer,
  sessionOf,
} from "./profile/odx/container.js";
export { containerProfile } from "./profile/odx/container-profile.js";
export { decodeSession, type FilesBeside, filesOf } from "./profile/odx/session-image.js";
export type { FlashIdent, OdxValue } from "./profile/odx/values.js";
export type { Profile, ProfileDocument } from "./profile/schema/profile.js";
export { type Unconfirmed, unconfirmedIn } from "./profile/unconfirmed.js";

// What is known from outside: job sheets and measurement descriptions.

export { type JobSheetReading, jobSheetJsonSchema, loadJobSheet, readJobSheet } from "./job/load.js";
export { type Outside, outsideOfDonor, outsideOfUnit } from "./job/outside.js";
export type { JobSheet } from "./job/schema.js";
export { type DescribedSegment, type MeasurementDescription, readMeasurementDescription } from "./names/description.js";
export type { ObjectKind, ObjectPart, StoredCount } from "./names/laid-out.js";
export type { NamedObject } from "./names/object.js";
export { type NamedPlace, NameIndex } from "./names/place.js";

// A unit seen through its profile, and what is measured of it.

export type { ChecksumFacts } from "./checksums/facts.js";
export { measureChecksums } from "./checksums/measure.js";
export { type ChecksumChange, type LeftReason, type Recomputed, recomputeChecksums } from "./checksums/recompute.js";
export { contentDigest } from "./fingerprint/content.js";
export {
  type Comparable,
  compareFingerprints,
  type Fingerprint,
  type FingerprintResult,
  fingerprintOf,
  type Masked,
} from "./fingerprint/fingerprint.js";
export { parseReadable, type ReadableReading, readableOf } from "./fingerprint/readable.js";
export type { Selection } from "./fingerprint/recipe.js";
export {
  type FoundMachineNumber,
  type FoundMachineNumbers,
  findMachineNumbers,
} from "./identity/find-machine-numbers.js";
export { type DescribedUnit, measureIdentity } from "./identity/measure.js";
export type { IdentityReading, Source, SourcedValue, UnreadableField } from "./identity/reading.js";
export { type ProcessorFamily, processorFamilies } from "./processor/family.js";
export { type Processor, recogniseProcessor } from "./processor/recognise.js";
export { type DataTable, findTables, type TableAxis } from "./tables/find.js";
export { type FieldReading, fieldValue } from "./unit/field.js";
export { describeUnit, fieldNamed, fieldOfMeaning, knownSpans, type PlacedRegion, type Unit } from "./unit/unit.js";

// What would be written: the plan and the composed image.

export { type Composition, compose } from "./compose/compose.js";
export { type Plan, type PlanPart, planOf } from "./compose/plan.js";

// What nobody documented: checksums sought, profiles drafted.

export type { Certainty } from "./discover/chance.js";
export type { Slack } from "./discover/fill-slack.js";
export { SHORTEST_RANGE } from "./discover/ground.js";
export type { Hit } from "./discover/hit.js";
export type { PossiblePlaces } from "./discover/place-of-value.js";
export { type PlanOptions, planSeek, runSeekTask, type SeekPlan, type SeekTask } from "./discover/plan.js";
export type { CrcParameters, FoundChecksum } from "./discover/result.js";
export {
  furtherPlan,
  type Searched,
  type SeekResult,
  type SeekStep,
  seekChecksums,
  seekResult,
} from "./discover/seek.js";
export { type Doubt, type Draft, type DraftNames, draftProfile } from "./draft/draft.js";
export { type DraftRead, type DraftTold, type Family, familyOf, mostDraftReads } from "./draft/family.js";
export type { Contradiction, HeldStatement } from "./draft/held.js";
export type { Advice } from "./draft/next.js";
export type { OldProfile } from "./draft/refine.js";
export type { Way } from "./draft/variation.js";

// The chained record of runs.

export { type Appended, appendRecord, checkRecordable } from "./record/append.js";
export { recordEntryDigest } from "./record/chain.js";
export { type RecordedFile, type RunFacts, recordEntryOf } from "./record/entry.js";
export { type RecordReading, readRecord, recordJsonSchema } from "./record/read.js";
export type { NewRecordEntry, PlainValue, RecordDocument, RecordEntry } from "./record/schema.js";
export { type RecordVerification, verifyRecord } from "./record/verify.js";
