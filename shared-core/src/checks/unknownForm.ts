import { phrase } from '../base/phrase.js';
import { dumpText } from '../format/dumpText.js';
import type { Row } from '../format/row.js';
import type { LoadedDump } from './loadedDump.js';
import { type Problem, problem } from './problem.js';

/**
 * Whether the lines of a text are in a form that nothing describes: not one of several can be read, or without a profile
 * more of them have not even the shape of a record than have it. One line alone may be a slip.
 */
export function isFormUnknown({ dump, profile }: Pick<LoadedDump, 'dump' | 'profile'>): boolean {
  const { rows, notation, invalidRows, layout } = dump;
  if (layout.kind === 'image' || (notation !== dumpText && notation.id !== 'pattern') || invalidRows.length < 2)
    return false;
  const count = (test: (row: Row) => boolean) => rows.reduce((sum, row) => sum + (test(row) ? 1 : 0), 0);
  const records = layout.order.filter((row) => rows[row]?.kind === 'record').length;
  if (records === 0) return true;
  const shapeless = count((row) => row.kind === 'broken' && row.label === undefined);
  return profile.kind !== 'read' && shapeless > records + (invalidRows.length - shapeless);
}

/** One problem for such a text, at its first line that is not read; none where it is the profile that cannot be read. */
export function formProblems({ dump, profile }: Pick<LoadedDump, 'dump' | 'profile'>): Problem[] {
  const { rows, invalidRows } = dump;
  const row = invalidRows[0] ?? 0;
  const place = { row, start: 0, end: Math.min(120, rows[row]?.text.trimEnd().length ?? 0) };
  if (profile.kind === 'unreadable') return [];
  const message =
    profile.kind === 'read'
      ? phrase(
          'Not one line is written as the profile says ({0} lines not read). Name the profile of this module, or correct its "notation".',
          invalidRows.length,
        )
      : phrase(
          'This form is not known yet ({0} lines not read). Run "Work Out the Checksum Rule".',
          invalidRows.length,
        );
  return [problem('form-unknown', place, message)];
}
