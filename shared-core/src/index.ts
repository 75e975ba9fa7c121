// The door of the core: client, server and command line enter here and nowhere else. It hands on what they use, by room.

// actions: what a person can have done to a dump
export {
  backupCopy,
  hasPlaceForHeaders,
  headersToAdd,
  placeForHeader,
} from './actions/backup.js';
export type { Change, Consent } from './actions/change.js';
export { changeInFull } from './actions/changeInFull.js';
export { type ChangeFix, type CommandFix, type Fix, type FixWish, titleOf, type WishFix } from './actions/fixes/fix.js';
export { fixesForInSteps } from './actions/fixes/fixesFor.js';
export { optionFixes } from './actions/fixes/optionFixes.js';
export { FIX_EVERYTHING, fixForSaving } from './actions/fixes/sumFixes.js';
export { notWorkedOut, workOut } from './actions/fixes/workOut.js';
export { boundBy, explainsWhole, isExplainedWhole, textNaming, whyNotNamed } from './actions/nameProfile.js';
export { balanceAt, balancePlaces, fixInSteps, placeToBalance } from './actions/repair.js';
export {
  linesToRestore,
  type Restored,
  restore,
  restoreInSteps,
  soundBackup,
  takeLinesInSteps,
} from './actions/restore.js';
export { type SumsPlan, setOptionsInSteps } from './actions/setOptions.js';
export type { OptionWish } from './actions/settings.js';
// base: texts, numbers, sentences that are not yet in a language, results
export { base64Of, bytesOfBase64, isBase64 } from './base/base64.js';
export { commonEnds } from './base/commonEnds.js';
export { digitsOf, hex, hexBytes } from './base/hex.js';
export { readIsoTime } from './base/isoTime.js';
export { bullets, code, plain, table, tableRow } from './base/markdown.js';
export { nearestName } from './base/nearestName.js';
export { oddsInWords, SURE, twoDigitsBelow } from './base/odds.js';
export type { TextSink } from './base/pageWriter.js';
export { listed, type Phrase, type PhrasePart, phrase, say, type Translation } from './base/phrase.js';
export { literal, oneLine, readable } from './base/readable.js';
export { type Ask, done, type Refused, type Result, refuse, valueIn } from './base/result.js';
export { editLine, type RowSpan, type TextEdit } from './base/span.js';
export { finish, type RunSteps, type Steps } from './base/steps.js';
// checks: what is wrong with a dump
export { backupDump, readBackup } from './checks/backup.js';
export { checkDump, checkInSteps } from './checks/checkDump.js';
export { copiesApart } from './checks/copies.js';
export { DIAGNOSTICS, type Severity } from './checks/diagnostics.js';
export type { LoadedDump } from './checks/loadedDump.js';
export type { Problem } from './checks/problem.js';
export { shownProblems } from './checks/shownProblems.js';
export { allSumsRight } from './checks/sumsLeft.js';
export { isFormUnknown } from './checks/unknownForm.js';
export {
  isGood,
  statusOf,
  summaryOf,
  unreadInWords,
  type Verdict,
  verdictOf,
  verdictOfText,
  verdictOfUnreadable,
} from './checks/verdict.js';
// checksum: kinds of sums
export { stateInSteps } from './checksum/checksum.js';
export { CRC_NAMES, crcModel } from './checksum/crcCatalogue.js';
export { checksumOf, sumInWords } from './checksum/registry.js';
// compare: what differs
export {
  type ByteDifference,
  type Comparison,
  compareDumps,
  differingBytes,
  differs,
  isExplained,
  type LineDifference,
} from './compare/compareDumps.js';
export {
  comparisonInShort,
  comparisonInWords,
  reasonInWords,
  remarksInWords,
  restoreInWords,
  unmatchedInWords,
} from './compare/comparisonInWords.js';
export { inSpacingOf } from './compare/inSpacingOf.js';
export { compareMany, type ManyDumps } from './compare/manyDumps.js';
export { compareChosen, manyInWords, spanInMany } from './compare/manyInWords.js';
export { outcomeInWords, type ThreeWays, threeWays } from './compare/threeWays.js';
// convert: the same in another written form
export type { Contents } from './convert/contents.js';
export {
  type Conversion,
  conversionOf,
  convert,
  inSingleBytes,
  lostIn,
  MOST_WIDTH,
  type SourceWords,
  whyAlready,
} from './convert/convert.js';
// format: written forms, and rows
export { rowsBehind } from './format/behindHeaders.js';
export { labelText, readLabel } from './format/dumpText.js';
export { FORM_IDS, FORMS, type FormId, formOf } from './format/forms.js';
export { wordInHeaders } from './format/inWords.js';
export { readLineLabel } from './format/label.js';
export type { Notation } from './format/notation.js';
export { DUMP_ENDINGS, isDumpName, notationOf, notationOfDocument } from './format/notationOf.js';
export { looksLikeDump, readingsOf } from './format/readings.js';
export { bytesOf, contentOf, type HeaderRow, type Label, type RecordRow, type Row, recordName } from './format/row.js';
export { readRows, replaceText, textAfter, textOfRows } from './format/rows.js';
export { WORDS } from './format/word.js';
// jobs: whole jobs: retrofits, cards, read-backs, records
export { type CardModule, type NamedDump, namedDump, withUnchecked } from './jobs/card/input.js';
export { jobCard } from './jobs/card/jobCard.js';
export { whyNoCard } from './jobs/card/refusal.js';
export { savedCard } from './jobs/card/savedCard.js';
export { numberFor } from './jobs/changeFor.js';
export {
  confirmedInWords,
  confirmingWish,
  type UnconfirmedSum,
  unconfirmedSums,
  whyUnconfirmed,
} from './jobs/confirmedSums.js';
export { asWritten, type FleetRow, fleetRow, rowWithoutPlan } from './jobs/fleet.js';
export { countsInWords, fleetPage, reasonsOf } from './jobs/fleetPage.js';
export {
  JOURNAL_NAME,
  type Journal,
  type JournalFiles,
  journalText,
  readJournal,
  type Settled,
  settleJournal,
  stageOfPlan,
  type WayOut,
  waysOut,
} from './jobs/journal.js';
export { proveChange } from './jobs/journalProof.js';
export { type IndexedProfile, indexedProfile } from './jobs/library/profileIndex.js';
export { profileInWords, searchLibrary } from './jobs/library/searchLibrary.js';
export { moduleTitle } from './jobs/moduleTitle.js';
export { isIdOf, type Names, namesIn, type OptionName, shareIds, type ValueWord } from './jobs/names.js';
export { sheetOfOptions, takeSheet } from './jobs/optionSheet.js';
export {
  type LeftAside,
  type ModulePlan,
  type NamedProfile,
  type Plan,
  type PlanRefusal,
  type PossiblePlan,
  planRetrofit,
  planRetrofitInSteps,
  type VehicleDump,
  withRefusals,
} from './jobs/plan.js';
export { planPage } from './jobs/planPage.js';
export { isLaterReading } from './jobs/record/laterReading.js';
export { type RecordInput, vehicleRecord } from './jobs/record/vehicleRecord.js';
export type { Retrofit } from './jobs/retrofit.js';
export type { SharedCopy } from './jobs/share/copies.js';
export { vinsIn } from './jobs/share/looksPersonal.js';
export { sealInWords, shareDumps, sharedInWords, type ToShare } from './jobs/share/shareDumps.js';
export { sharedPage } from './jobs/share/sharedPage.js';
export { type ShownDump, shownDump, shownInWords } from './jobs/shown/shownDump.js';
export { shownPage } from './jobs/shown/shownPage.js';
export type { JobInput } from './jobs/steps/input.js';
export { type Jobs, jobSteps } from './jobs/steps/jobs.js';
export { heldLast, type JobDump, jobDump } from './jobs/steps/module.js';
export type { Step } from './jobs/steps/step.js';
export { textToLoad } from './jobs/textToLoad.js';
export { planTrials, planTrialsInSteps } from './jobs/trials/planTrials.js';
export { trialSheet } from './jobs/trials/trialSheet.js';
export {
  type HeadedDump,
  type UndecidedDump,
  type UnnamedDump,
  type VehicleAtHand,
  vehicleInWords,
  vehiclesOf,
  vehiclesWith,
} from './jobs/vehicles.js';
export { doubtInWords, readBackPage, verdictInWords, verificationInWords } from './jobs/verify/inWords.js';
export { asReading } from './jobs/verify/reading.js';
export { type ReadBack, type SeenInFile, seenInCar } from './jobs/verify/seenInCar.js';
export { verifyReadBack } from './jobs/verify/verify.js';
// learn: what nobody documented
export { addOption, type DraftOption, optionOf, whyNotAdded } from './learn/addOption.js';
export { bindLearnedSteps } from './learn/bindLearned.js';
export { changeProfile, type ProfileWish } from './learn/changeProfile.js';
export { draftText, namedDraft } from './learn/draftProfile.js';
export { alikeCandidates } from './learn/findOption/alike.js';
export { calledBy } from './learn/findOption/calledBy.js';
export { comparedDump } from './learn/findOption/comparedDump.js';
export { FOUND, findOptionSteps, type OptionSearch } from './learn/findOption/findOption.js';
export { titleAt } from './learn/findOption/knownPlace.js';
export type { LabelledDump } from './learn/findOption/labelledDump.js';
export { type PairSearch, pairIn } from './learn/findOption/pair.js';
export type { OptionPlace } from './learn/findOption/partitions.js';
export { bitsText, digitsIn, placeInWords } from './learn/findOption/placeInWords.js';
export type { OptionCandidate } from './learn/findOption/rank.js';
export {
  aloneInWords,
  candidateInWords,
  exceptionNames,
  isOfImages,
  nextInWords,
  pairInWords,
  rounded,
  valuesInHex,
} from './learn/findOption/searchInWords.js';
export { groupByTag, labelledByTag, tagCounts } from './learn/findOption/tags.js';
export { learnSteps } from './learn/learn.js';
export type { Finding, LearnCandidate, TextToLearn } from './learn/learning.js';
export { likelyModuleName } from './learn/moduleName.js';
export { chanceAsOneIn, isSure, oddsOfParts, oddsWithFigures } from './learn/odds.js';
export { patternInWords } from './learn/patternInWords.js';
export { fieldsToName, namedByHand, optionsInDigits, widenedValues } from './learn/placeToName.js';
export { findingsSaid } from './learn/remarks.js';
export { lineSumInWords, totalInWords } from './learn/ruleInWords.js';
export { type WorkedSum, workedSum } from './learn/workedSum.js';
export { accountInWords, accountOf } from './model/account.js';
// model: dumps: rows bound by a profile; the gate to changes
export type { ByteWrite } from './model/byteWrite.js';
export { addressCell, addressOf, type Cell, cellKey, presentCells } from './model/cell.js';
export { byteOfCopy, copiesAt, doesAgree } from './model/copies.js';
export { bind, bindText, bindWithHeaders, type Dump, inNotationOf, isLine, rebind, ruleOf } from './model/dump.js';
export { formatRows, LETTER_CASES, type LetterCase } from './model/formatRows.js';
export { whyNotWritable } from './model/gate.js';
export {
  HEADER_NAMES,
  type HeaderName,
  headerOf,
  headersIn,
  headersOf,
  headerValue,
  headerValues,
  holdsSeal,
  isSealed,
} from './model/headers.js';
export { whyNotComparable, whyNotOneKind } from './model/identity.js';
export { type Layout, labelOfRow } from './model/layout.js';
export { calledLine, lineCalled, lineName, recordCalled } from './model/lineName.js';
export { readLineSum } from './model/lineSum.js';
export { dataCountOf, lackingSum, lineWriter, totalLine, type WantedLine } from './model/missing.js';
export { holdsDigest } from './model/nearHeaders.js';
export {
  type OptionReading,
  optionSpan,
  optionsAt,
  readOption,
  shownValue,
  wordsOrHex,
} from './model/optionReading.js';
export { protectedPlaces } from './model/protected.js';
export { isReadBack } from './model/readBack.js';
export { type MemoryRegion, regionsOf } from './model/regions.js';
export { type Role, type RoleRun, rolesIn } from './model/roles.js';
export { canHaveRowsAsLines } from './model/rowsAsLines.js';
export { sameRecords } from './model/seal.js';
export { slotAt } from './model/slots.js';
export { SPACINGS, type Spacing } from './model/spacing.js';
export { byteAtColumn, bytesSpan, cellSpan, labelSpanOf } from './model/spans.js';
export { readTotal, sumAsWritten, wrongTotals } from './model/totalReading.js';
export { byteAt, soundRecord, storedValue } from './model/totals.js';
export { isForComparison, isMasked, isWrongUse, USES, whyForComparison, whySetAside } from './model/useHeader.js';
export { sameVehicle } from './model/vehicle.js';
export { withRecords } from './model/whole.js';
// options: options in words
export { cautionAhead } from './options/cautions.js';
export { choicesOf, namedValues, valuesOf } from './options/choices.js';
export { isFoundInBytes } from './options/foundInBytes.js';
export { caution, hazardInWords } from './options/hazard.js';
export { axisValue, certaintyOf, observationInWords, optionPlaceInWords, valuesInWords } from './options/inWords.js';
export { whyNotSettable } from './options/setOption.js';
export { writtenRanges } from './profile/dataRanges.js';
// profile: what a module is like
export { type JsonSpan, tooDeep } from './profile/json.js';
export { mergeProfiles } from './profile/mergeProfiles.js';
export { optionWidth } from './profile/places.js';
export type { Confidence, Option, Profile } from './profile/profile.js';
export { editedProfile } from './profile/profileText.js';
export { isOptionId } from './profile/readConditions.js';
export { HAZARDS } from './profile/readOptions.js';
export { EMPTY_PROFILE, readProfile } from './profile/readProfile.js';
export { confidenceBy } from './profile/readSeen.js';
export { evidenceInWords, fitsAll, sureInShort } from './profile/searchEvidence.js';
export { isReadAs } from './profile/slotPlaces.js';
export { sumName } from './profile/sumName.js';
// protocol: what client and server say to each other
export {
  BACKUP,
  type BackupParams,
  type BackupResult,
  RESTORABLE_LINES,
  RESTORE,
  type RestorableLine,
  type RestoreParams,
  type RestoreResult,
} from './protocol/backup.js';
export {
  BALANCE_AT,
  BALANCE_CHOICES,
  type BalanceAtParams,
  type BalanceChoice,
  type BalanceChoices,
  type BalanceParams,
  CORRECT_CHECKSUMS,
  type CorrectChecksumsResult,
} from './protocol/balance.js';
export {
  BYTE_OVERVIEW,
  type ByteOverviewParams,
  type ByteOverviewResult,
  OVERVIEW_BYTE,
  type OverviewByteParams,
  type OverviewByteResult,
  type OverviewLine,
} from './protocol/byteOverview.js';
export {
  type Accepted,
  ALL_SUMS,
  type DumpParams,
  type EditResult,
  type Place,
  type Refusal,
  type Stretch,
} from './protocol/common.js';
export {
  CHANGES,
  type ChangedLine,
  type ChangeItem,
  type ChangesResult,
  COMPARE,
  COMPARE_MANY,
  type CompareManyParams,
  type CompareManyResult,
  type CompareParams,
  type CompareResult,
  type ManyRow,
  TAKE_LINE,
  type TakeLineParams,
  type TakeLineResult,
  THREE_WAYS,
  type ThreeWaysParams,
  type ThreeWaysResult,
  type ThreeWaysRow,
} from './protocol/compare.js';
export {
  CONVERT,
  type ConvertParams,
  type ConvertResult,
  TEXT_TO_LOAD,
  type TextToLoadResult,
} from './protocol/convert.js';
export {
  CLOSE_FILE,
  type CloseFileParams,
  type DumpWords,
  LIST_FILES,
  LIST_FOLDER,
  type ListFilesResult,
  type ListFolderParams,
  type ListFolderResult,
  OPEN_FILE,
  type OpenFileParams,
  type OpenFileResult,
  READ_FILE,
  READ_PIECE,
  type ReadFileParams,
  type ReadFileResult,
  type ReadPieceParams,
  type ReadPieceResult,
} from './protocol/files.js';
export {
  CLOSE_IMAGE,
  IMAGE_PAGE,
  type ImagePage,
  type ImagePageParams,
  type ImageRegion,
  type ImageViewParams,
  OPEN_IMAGE,
  type OpenImageParams,
  type OpenImageResult,
} from './protocol/imageView.js';
export type { InitializationOptions } from './protocol/initialization.js';
export {
  DESCRIBE,
  type DescribeParams,
  type DescribeResult,
  JOBS,
  JOBS_CHANGED,
  type JobAction,
  type JobModule,
  type JobStep,
  type JobsParams,
  type JobsResult,
  type JobVehicle,
  OFFER_PLANS,
} from './protocol/jobs.js';
export {
  ADD_OPTION,
  type AddOptionParams,
  type AddOptionResult,
  CHANGE_PROFILE,
  type ChangeProfileParams,
  type ChangeProfileResult,
  FIND_OPTION,
  type FindOptionParams,
  type FindOptionResult,
  type FoundInBytes,
  type FoundPlace,
  type HazardChoice,
  type HeaderPlace,
  LEARN,
  LEARN_FROM,
  type LearnedRule,
  type LearnFromResult,
  type LearnParams,
  type LearnResult,
  NEW_OPTION,
  type NewOptionParams,
  type NewOptionResult,
  OPTION_GROUPS,
  type OptionField,
  type OptionGroupsResult,
  type OptionMap,
  type OptionMapCell,
  PLAN_TRIALS,
  type PlaceOfItsOwn,
  type PlanTrialsResult,
  SIMILAR_DUMPS,
  type SimilarDumpsParams,
  type SimilarDumpsResult,
  type TakenOption,
  UNCONFIRMED_SUMS,
  type UnconfirmedSumsParams,
  type UnconfirmedSumsResult,
} from './protocol/learning.js';
export {
  OPTIONS,
  type OptionChoice,
  type OptionItem,
  type OptionsResult,
  SET_OPTION,
  type SetOptionParams,
  type SetOptionResult,
  SHOW,
  type ShowResult,
} from './protocol/options.js';
export {
  LIST_PROFILES,
  type ListProfilesParams,
  type ListProfilesResult,
  type ProfileEntry,
  TEST_SAMPLES,
  type TestSamplesResult,
} from './protocol/profiles.js';
export {
  FORM_OF_FILE,
  type FormOfFileParams,
  type FormOfFileResult,
  RAW_BYTES,
  RAW_FILE,
  RAW_TEXT,
  type RawBytesParams,
  type RawBytesResult,
  type RawFileParams,
  type RawTextParams,
  type RawTextResult,
  READINGS,
  type ReadingsParams,
  type ReadingsResult,
  type TextReading,
} from './protocol/raw.js';
export {
  JOB_CARD,
  type JobCardParams,
  type JobCardResult,
  PLAN_RETROFIT,
  type PlanRetrofitParams,
  type PlanRetrofitResult,
  RETROFIT_VEHICLES,
  type RetrofitChoice,
  type RetrofitVehicle,
  VEHICLE_RECORD,
  VERIFY_READ_BACK,
  type VehicleRecordParams,
  type VehicleRecordResult,
  type VerifyReadBackParams,
  type VerifyReadBackResult,
} from './protocol/retrofit.js';
export { SHARE, type ShareParams, type ShareResult } from './protocol/share.js';
export { STATUS, type StatusResult } from './protocol/status.js';
// repair: sums made right
export { readAddressRange } from './repair/freeCells.js';
export { certaintyInWords } from './repair/repairInWords.js';
export type { Allowance } from './repair/solver/system.js';
// scan: memory images of any size
export { type ImageBytesView, readImageBytes } from './scan/imageView.js';
export {
  BINARY,
  type BinaryView,
  binaryOfContents,
  binaryOfText,
  IN_BINARY,
  textOfBinary,
  textReadBack,
} from './workspace/binary.js';
export {
  type CodedFiles,
  type Coding,
  codedFiles,
  type Encoded,
  headersBeside,
  holdsRawBytes,
  PLAIN_VIEW,
  textOfFile,
  writtenAs,
} from './workspace/codedFiles.js';
// workspace: from files to dumps
export {
  dumpOfText,
  filesNamedBy,
  NAMING_HEADERS,
  profilesNamed,
  type SaidWord,
  type UnboundDump,
} from './workspace/dumpFile.js';
export type { ExplainedDump } from './workspace/explain.js';
export { FILE_ENDINGS } from './workspace/fileEndings.js';
export { cardName, kindOf, OUR_FILES } from './workspace/fileKind.js';
export {
  type FileType,
  HEADERS_BESIDE,
  type Host,
  LARGEST_FILE,
  LARGEST_TEXT,
  type OpenFile,
} from './workspace/host.js';
export { type JsonProblem, profileProblems, retrofitProblems, unreadConditions } from './workspace/jsonProblems.js';
export { bothLists, type FileKind, type FileList, listFiles } from './workspace/listFiles.js';
export { type ListedProfile, listProfiles, profileInLine } from './workspace/listProfiles.js';
export { type FileToCompare, loadTogether, type ToCompare } from './workspace/loadTogether.js';
export { byModule } from './workspace/moduleProfile.js';
export { profilesToShare } from './workspace/profilesToShare.js';
export { type ProvedSample, proveBySamples, provedInWords } from './workspace/proveBySamples.js';
export { CHANGED, NOT_REGULAR, reasonOf, tooLarge } from './workspace/reasons.js';
export { undecidedAmong } from './workspace/undecided.js';
export {
  canonicalUri,
  childUri,
  fileName,
  isOfAnotherTime,
  isUnsaved,
  parentUri,
  pathParts,
  relativePath,
  resolveUri,
} from './workspace/uri.js';
export { createUriMap, type UriMap } from './workspace/uriMap.js';
export { verifyInFolder } from './workspace/verifyInFolder.js';
export { fileOfBytes, fileOfText, type TextCodec } from './workspace/wholeFile.js';
export { createWorkspace, type LoadHow, type OpenedDump, type Workspace } from './workspace/workspace.js';
