import { listed, type Phrase, phrase } from '../base/phrase.js';
import { compareDumps } from '../compare/compareDumps.js';
import { bytesInWords } from '../compare/comparisonInWords.js';
import type { Dump } from '../model/dump.js';
import { calledLine } from '../model/lineName.js';
import { changeInWords } from '../repair/repairInWords.js';

/** More bytes than these are only counted. */
const MOST_BYTES = 12;

/**
 * What a change writes, for a person who is asked whether it may: each option from its value to the new one, how many bytes
 * change, and which ones.
 */
export function changeInFull(before: Dump, after: Dump): readonly Phrase[] {
  const comparison = compareDumps(before, after);
  const { options, lines, onlyBefore, onlyAfter } = comparison;
  const count = lines.reduce((sum, { bytes }) => sum + bytes.length, 0);
  const told = bytesInWords(comparison);
  const shown = told.slice(0, MOST_BYTES);
  const left = told.length - shown.length;
  return [
    ...options.map(({ option, before: was, after: now }) => phrase('{0}: from {1} to {2}', option.title, was, now)),
    ...(count === 0 ? [] : [phrase('{0}: {1}', changeInWords({ length: count }), listed(shown, '; '))]),
    ...(left === 0 ? [] : [phrase('… and {0} more', left)]),
    ...(onlyAfter.length === 0
      ? []
      : [phrase('Put in: {0}', listed(onlyAfter.map((label) => calledLine(after, label))))]),
    ...(onlyBefore.length === 0
      ? []
      : [phrase('Taken out: {0}', listed(onlyBefore.map((label) => calledLine(before, label))))]),
  ];
}
