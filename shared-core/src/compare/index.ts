// What client, server and command line use of this room: what differs.
export {
  type ByteDifference,
  type Comparison,
  compareDumps,
  differingBytes,
  differs,
  isExplained,
  type LineDifference,
} from './compareDumps.js';
export {
  comparisonInShort,
  comparisonInWords,
  reasonInWords,
  remarksInWords,
  restoreInWords,
  unmatchedInWords,
} from './comparisonInWords.js';
export { inSpacingOf } from './inSpacingOf.js';
export { compareMany, type ManyDumps } from './manyDumps.js';
export { compareChosen, manyInWords, spanInMany } from './manyInWords.js';
export { outcomeInWords, type ThreeWays, threeWays } from './threeWays.js';
