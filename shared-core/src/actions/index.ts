// What client, server and command line use of this room: what a person can have done to a dump.
export {
  backupCopy,
  hasPlaceForHeaders,
  headersToAdd,
  placeForHeader,
} from './backup.js';
export { type Change, type Consent, whyEvidence } from './change.js';
export { changeInFull } from './changeInFull.js';
export { type ChangeFix, type CommandFix, type Fix, type FixWish, titleOf, type WishFix } from './fixes/fix.js';
export { fixesForInSteps } from './fixes/fixesFor.js';
export { optionFixes } from './fixes/optionFixes.js';
export { FIX_EVERYTHING, fixForSaving } from './fixes/sumFixes.js';
export { notWorkedOut, workOut } from './fixes/workOut.js';
export { boundBy, explainsWhole, isExplainedWhole, textNaming, whyNotNamed } from './nameProfile.js';
export { planQuestion } from './planQuestion.js';
export { balanceAt, balancePlaces, fixInSteps, placeToBalance } from './repair.js';
export {
  linesToChoose,
  linesToRestore,
  type Restored,
  restore,
  restoreInSteps,
  soundBackup,
  takeLinesInSteps,
} from './restore.js';
export { type SumsPlan, setOptionsInSteps } from './setOptions.js';
export type { OptionWish } from './settings.js';
