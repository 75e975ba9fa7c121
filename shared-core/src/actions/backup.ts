import { phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import type { LoadedDump } from '../checks/loadedDump.js';
import { isImage } from '../format/notationOf.js';
import { lineEndOf, textOfRows } from '../format/rows.js';
import type { Dump } from '../model/dump.js';
import { type HeaderName, headerOf, isSealed } from '../model/headers.js';
import { sealOf } from '../model/seal.js';

/** A sealed copy of a dump, and where the dump is to name it. */
export interface BackupCopy {
  /** Names to try in turn, best first: a backup never takes the place of a file. */
  readonly names: readonly string[];
  readonly text: string;
  readonly naming: HeaderPlacing;
}

/** Where a header goes, rows and columns from 0, and what is written before and after its value. */
export interface HeaderPlacing {
  readonly line: number;
  readonly column: number;
  /** Whether the header replaces the line that is there. */
  readonly replaces: boolean;
  readonly before: string;
  readonly after: string;
}

const MOST_NAMES = 99;

/** A sealed copy of a dump as it is now; refused where it has one, is one, or cannot be read as a whole. */
export function backupCopy({ name, dump, backup }: Pick<LoadedDump, 'name' | 'dump' | 'backup'>): Result<BackupCopy> {
  if (isSealed(dump)) return refuse(phrase('This dump is a sealed backup itself.'));
  const named = headerOf(dump, 'backup');
  if (backup.kind === 'read')
    return refuse(phrase('This dump has a backup already: "{0}". It is kept as it is.', named?.header.value ?? ''));
  if (dump.invalidRows.length > 0)
    return refuse(
      phrase(
        '{0} lines of this dump cannot be read. Right them first, so that the backup is whole.',
        dump.invalidRows.length,
      ),
    );
  const lineEnd = lineEndOf(dump.rows);
  const kept = textOfRows(dump.rows.filter((_, row) => row !== named?.row));
  const seal = `@seal ${sealOf(dump.rows)}${lineEnd}`;
  return done({
    names: namesFor(name, isImage(dump.notation)),
    text: isImage(dump.notation) ? `${kept}${openEnd(kept, lineEnd)}; ${seal}` : `${seal}${kept}`,
    naming:
      named === undefined
        ? placeForHeader(dump, 'backup')
        : { line: named.row, column: 0, replaces: true, before: `${mark(dump)}@backup `, after: '' },
  });
}

function namesFor(name: string, image: boolean): readonly string[] {
  const ending = image ? name.slice(name.lastIndexOf('.')) : '.cfgdump';
  const stem = name.endsWith(ending) ? name.slice(0, -ending.length) : name;
  return Array.from({ length: MOST_NAMES }, (_, i) => `${stem}.backup${i === 0 ? '' : `-${i + 1}`}${ending}`);
}

/**
 * Where a header that a dump does not have yet goes: the profile before all else, others behind it. Programs that read
 * images stop at the end record, and most of them at any line that is no record: there it is behind everything.
 */
export function placeForHeader(dump: Dump, name: HeaderName): HeaderPlacing {
  const lineEnd = lineEndOf(dump.rows);
  const before = `${mark(dump)}@${name} `;
  if (!isImage(dump.notation)) {
    const line = name === 'profile' ? 0 : (headerOf(dump, 'profile')?.row ?? -1) + 1;
    return { line, column: 0, replaces: false, before, after: lineEnd };
  }
  const line = dump.rows.length - 1;
  const last = dump.rows[line]?.text ?? '';
  return { line, column: last.length, replaces: false, before: `${openEnd(last, lineEnd)}${before}`, after: lineEnd };
}

function mark({ notation }: Dump): string {
  return isImage(notation) ? '; ' : '';
}

/** A line end where a text does not have its last one. */
function openEnd(text: string, lineEnd: string): string {
  return text !== '' && !/[\r\n]$/.test(text) ? lineEnd : '';
}
