import type { Consent } from '../actions/change.js';
import { phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import type { TextEdit } from '../base/span.js';
import { backupDump } from '../checks/backup.js';
import type { LoadedDump } from '../checks/loadedDump.js';
import type { Notation } from '../format/notation.js';
import type { RecordRow } from '../format/row.js';
import { splitLines, textAfter } from '../format/rows.js';
import type { Dump } from '../model/dump.js';
import { changeDump } from '../model/gate.js';
import { lineCalled } from '../model/lineName.js';

/**
 * Proves that a dump may become what a journal says: only bytes of its lines differ, the gate lets them through, and the
 * sums of all its lines are right afterwards, as every plan leaves them.
 */
export function proveChange(loaded: LoadedDump, text: string, { unconfirmed }: Consent = {}): Result<void> {
  const { dump, profile, backup } = loaded;
  if (profile.kind !== 'read') return refuse(phrase('No profile that can be read explains it.'));
  const edits = digitEdits(dump, text);
  if (edits === undefined) return refuse(phrase('More than bytes of its lines would be changed.'));
  const changed = changeDump(dump, { edits }, { backup: backupDump(dump, backup), unconfirmed });
  if (!changed.ok) return changed;
  const [wrong] = changed.value.after.wrongSums;
  if (wrong === undefined) return done(undefined);
  return refuse(
    phrase('The sum of line {0} would be wrong after this change.', lineCalled(changed.value.after, wrong)),
  );
}

/** The edits that lead to a text, digit by digit; undefined where anything else than bytes of its lines differs. */
function digitEdits({ rows, notation }: Dump, text: string): readonly TextEdit[] | undefined {
  const lines = splitLines(text);
  const edits = rows.flatMap((row, at): readonly TextEdit[] => {
    const line = lines[at] ?? '';
    if (row.kind !== 'record' || line === row.text) return [];
    return placesOf(notation, row)
      .filter((place) => line.charAt(place) !== row.text.charAt(place))
      .map((place) => ({ row: at, start: place, end: place + 1, text: line.charAt(place) }));
  });
  return textAfter(rows, edits) === text ? edits : undefined;
}

/** Where the digits of a row's bytes stand, and the characters beside them, which change with them. */
function placesOf(notation: Notation, row: RecordRow): readonly number[] {
  const characters = notation.characters?.(row);
  const shown = characters === undefined ? [] : Array.from({ length: row.count }, (_, byte) => characters(byte) ?? []);
  return [...notation.digitPlaces(row), ...shown.flat()].sort((a, b) => a - b);
}
