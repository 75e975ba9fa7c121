// What client, server and command line use of this room: what is wrong with a dump.
export { backupDump, readBackup } from './backup.js';
export { checkDump, checkInSteps } from './checkDump.js';
export { copiesApart } from './copies.js';
export { DIAGNOSTICS, type Severity } from './diagnostics.js';
export type { LoadedDump } from './loadedDump.js';
export type { Problem } from './problem.js';
export { shownProblems } from './shownProblems.js';
export { allSumsRight } from './sumsLeft.js';
export { isFormUnknown } from './unknownForm.js';
export {
  isGood,
  statusOf,
  summaryOf,
  unreadInWords,
  type Verdict,
  verdictOf,
  verdictOfText,
  verdictOfUnreadable,
} from './verdict.js';
