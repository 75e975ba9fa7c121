// What client, server and command line use of this room: what nobody documented.
export { addOption, type DraftOption, optionOf, whyNotAdded } from './addOption.js';
export { bindLearnedSteps } from './bindLearned.js';
export { changeProfile, type ProfileWish } from './changeProfile.js';
export { draftText, namedDraft } from './draftProfile.js';
export { alikeCandidates } from './findOption/alike.js';
export { calledBy } from './findOption/calledBy.js';
export { comparedDump } from './findOption/comparedDump.js';
export { FOUND, findOptionSteps, type OptionSearch } from './findOption/findOption.js';
export { titleAt } from './findOption/knownPlace.js';
export type { LabelledDump } from './findOption/labelledDump.js';
export { type PairSearch, pairIn } from './findOption/pair.js';
export type { OptionPlace } from './findOption/partitions.js';
export { bitsText, digitsIn, placeInWords } from './findOption/placeInWords.js';
export type { OptionCandidate } from './findOption/rank.js';
export {
  aloneInWords,
  candidateInWords,
  exceptionNames,
  isOfImages,
  nextInWords,
  pairInWords,
  rounded,
  valuesInHex,
} from './findOption/searchInWords.js';
export { groupByTag, labelledByTag, tagCounts } from './findOption/tags.js';
export { learnSteps } from './learn.js';
export { firstNumberedLine } from './learnForm/form.js';
export type { Finding, LearnCandidate, TextToLearn } from './learning.js';
export { likelyModuleName } from './moduleName.js';
export { chanceAsOneIn, fitsAsWell, isSure, oddsOfParts, oddsWithFigures } from './odds.js';
export { patternInWords } from './patternInWords.js';
export { fieldsToName, namedByHand, optionsInDigits, widenedValues } from './placeToName.js';
export { findingsSaid } from './remarks.js';
export { lineSumInWords, totalInWords } from './ruleInWords.js';
export { type WorkedSum, workedSum } from './workedSum.js';
