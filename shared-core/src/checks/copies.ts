import { hex, hexBytes } from '../base/hex.js';
import { type Phrase, phrase } from '../base/phrase.js';
import { byteOfCopy, copyDifferences } from '../model/copies.js';
import type { Dump } from '../model/dump.js';
import { bytesSpan, labelSpanOf } from '../model/spans.js';
import { byteAt } from '../model/totals.js';
import type { Copies } from '../profile/profile.js';
import { type Problem, problem } from './problem.js';

/** Bytes that are not what their copies hold, one problem for each run of them in a line or record. */
export function copyProblems(dump: Dump): Problem[] {
  return dump.profile.copies.flatMap((copies) => problemsOf(dump, copies));
}

/** Where copies disagree, in a sentence each: whatever the sums are, such a dump is not good. */
export function copiesApart(dump: Dump): readonly Phrase[] {
  return copyProblems(dump).map(({ message }) => message);
}

function problemsOf(dump: Dump, copies: Copies): Problem[] {
  return copyDifferences(dump, copies).map(({ cells, copy, at, right, from, agreeing, isMinority }) => {
    const [{ row, byte }] = cells;
    const span = bytesSpan(dump, row, byte, cells.length) ?? labelSpanOf(dump, row);
    const found = cells.map((cell) => hex(byteAt(dump.rows, cell) ?? 0)).join('');
    const expected = hexBytes(right);
    const here = byteOfCopy(dump, copies, copy, at, cells.length);
    const there = byteOfCopy(dump, copies, from, at, cells.length);
    const message = isMinority
      ? phrase(
          '{0} holds {1}, but most copies of "{2}" agree on {3} ({4} of {5}, such as: {6}).',
          ...[here, found, copies.name, expected, agreeing, copies.places.length, there],
        )
      : phrase('{0} holds {1}; by its copy ("{2}") it would be {3}: {4}.', here, found, copies.name, expected, there);
    return problem('copy-differs', span, message, { expected, found });
  });
}
