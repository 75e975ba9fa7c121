import type { Command } from '../command.js';
import { alwaysHeading } from './alwaysHeading.js';
import { bringIn } from './bringIn.js';
import { compareMany } from './compareMany.js';
import { compareWith } from './compareWith.js';
import { compareWithBackup } from './compareWithBackup.js';
import { convert } from './convert.js';
import { correctChecksums } from './correctChecksums.js';
import { findOption } from './findOption.js';
import { jobCard } from './jobCard.js';
import { jobStep } from './jobStep.js';
import { learn } from './learn.js';
import { makeBackup } from './makeBackup.js';
import { nameProfileBeside, offerFitting } from './nameProfileBeside.js';
import { newOption } from './newOption.js';
import { openAsDumpText } from './openAsDumpText.js';
import { openDemo } from './openDemo.js';
import { openImageView } from './openImageView.js';
import { openProfile } from './openProfile.js';
import { planRetrofit } from './planRetrofit.js';
import { readAs } from './readAs.js';
import { readStep } from './readStep.js';
import { rebalance } from './rebalance.js';
import { removeOption, removeOptionHere } from './removeOption.js';
import { restoreFromBackup } from './restoreFromBackup.js';
import { saveToLoad } from './saveToLoad.js';
import { setOption } from './setOption.js';
import { shareCopy } from './shareCopy.js';
import { showByteOverview } from './showByteOverview.js';
import { showInWords } from './showInWords.js';
import { showOption } from './showOption.js';
import { showProfiles } from './showProfiles.js';
import { useSimilar } from './similarDumps.js';

import { nextChange, previousChange, showChange } from './stepThroughChanges.js';
import { takeLine } from './takeLine.js';
import { treatAsDump } from './treatAsDump.js';
import { onlyToCompare, workOnDump } from './useOfDump.js';
import { vehicleRecord } from './vehicleRecord.js';
import { verifyReadBack } from './verifyReadBack.js';

/** All commands of the extension. */
export const COMMANDS: readonly Command[] = [
  bringIn,
  onlyToCompare,
  workOnDump,
  compareWithBackup,
  compareWith,
  compareMany,
  makeBackup,
  correctChecksums,
  rebalance,
  planRetrofit,
  openImageView,
  openAsDumpText,
  treatAsDump,
  restoreFromBackup,
  convert,
  saveToLoad,
  jobCard,
  verifyReadBack,
  vehicleRecord,
  showInWords,
  shareCopy,
  setOption,
  showOption,
  removeOption,
  learn,
  findOption,
  newOption,
  useSimilar,
  showProfiles,
  showByteOverview,
  nextChange,
  previousChange,
  takeLine,
  openDemo,
  jobStep,
  readStep,
  openProfile,
  nameProfileBeside,
  offerFitting,
  readAs,
  showChange,
  alwaysHeading,
  removeOptionHere,
];
