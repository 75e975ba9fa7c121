import { type Phrase, phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import { checkDump } from '../checks/checkDump.js';
import type { LoadedDump } from '../checks/loadedDump.js';
import { isGood, verdictOf } from '../checks/verdict.js';
import { textOfRows } from '../format/rows.js';
import { isForComparison, whyForComparison } from '../model/useHeader.js';

/**
 * The text of a dump for the program that loads it into the module: without the lines that begin with "@", which only we
 * read, and otherwise as it is. Refused where the check of the dump finds anything, since it is about to be written,
 * or where a plan over it was cut short.
 */
export function textToLoad(loaded: LoadedDump, cutShort: readonly Phrase[] = []): Result<string> {
  const { dump, name } = loaded;
  if (isForComparison(dump)) return refuse(whyForComparison(dump));
  const problems = checkDump(loaded);
  const verdict = verdictOf(loaded, problems);
  if (!isGood(verdict)) {
    const grave = problems.find(({ severity }) => severity === 'error' || severity === 'warning')?.message;
    return refuse(notYet(name, grave ?? verdict.unchecked[0]));
  }
  const [half] = cutShort;
  if (half !== undefined) return refuse(notYet(name, half));
  const rows = dump.rows.filter(({ kind }) => kind !== 'header');
  if (rows.length === dump.rows.length)
    return refuse(phrase('{0} has no headers: its file can be loaded as it is.', name));
  // The blank line below the headers came with them.
  const first = rows.findIndex(({ kind }) => kind !== 'blank');
  return done(textOfRows(dump.rows[0]?.kind === 'header' ? rows.slice(Math.max(0, first)) : rows));
}

function notYet(name: string, why: Phrase | undefined): Phrase {
  return why === undefined
    ? phrase('{0} is not good yet.', name)
    : phrase('{0} is not to be loaded yet: {1}', name, why);
}
