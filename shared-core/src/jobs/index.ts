// What client, server and command line use of this room: whole jobs: retrofits, cards, read-backs, records.
export { type CardModule, type NamedDump, namedDump, withUnchecked } from './card/input.js';
export { jobCard } from './card/jobCard.js';
export { whyNoCard } from './card/refusal.js';
export { savedCard } from './card/savedCard.js';
export { numberFor } from './changeFor.js';
export {
  confirmedInWords,
  confirmingWish,
  type UnconfirmedSum,
  unconfirmedSums,
  whyUnconfirmed,
} from './confirmedSums.js';
export { asWritten, type FleetRow, fleetRow, rowWithoutPlan } from './fleet.js';
export { countsInWords, fleetPage, reasonsOf } from './fleetPage.js';
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
} from './journal.js';
export { proveChange } from './journalProof.js';
export { type IndexedProfile, indexedProfile } from './library/profileIndex.js';
export { profileInWords, searchLibrary } from './library/searchLibrary.js';
export { moduleTitle } from './moduleTitle.js';
export { isIdOf, type Names, namesIn, type OptionName, shareIds, type ValueWord } from './names.js';
export { sheetOfOptions, takeSheet } from './optionSheet.js';
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
} from './plan.js';
export { planPage } from './planPage.js';
export { isEarlierReading, isLaterReading } from './record/laterReading.js';
export { type RecordInput, vehicleRecord } from './record/vehicleRecord.js';
export type { Retrofit } from './retrofit.js';
export type { SharedCopy } from './share/copies.js';
export { vinsIn } from './share/looksPersonal.js';
export { sealInWords, shareDumps, sharedInWords, type ToShare } from './share/shareDumps.js';
export { sharedPage } from './share/sharedPage.js';
export { type ShownDump, shownDump, shownInWords } from './shown/shownDump.js';
export { shownPage } from './shown/shownPage.js';
export type { JobInput } from './steps/input.js';
export { type Jobs, jobSteps } from './steps/jobs.js';
export { heldLast, type JobDump, jobDump } from './steps/module.js';
export type { Step } from './steps/step.js';
export { textToLoad } from './textToLoad.js';
export { planTrials, planTrialsInSteps } from './trials/planTrials.js';
export { trialSheet } from './trials/trialSheet.js';
export {
  type HeadedDump,
  type UndecidedDump,
  type UnnamedDump,
  type VehicleAtHand,
  vehicleInWords,
  vehiclesOf,
  vehiclesWith,
} from './vehicles.js';
export { doubtInWords, readBackPage, verdictInWords, verificationInWords } from './verify/inWords.js';
export { asReading } from './verify/reading.js';
export { type ReadBack, seenInCar } from './verify/seenInCar.js';
export { isVerified, verifyReadBack } from './verify/verify.js';
