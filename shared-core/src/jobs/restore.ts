import { listed, type Phrase, phrase } from '../base/phrase.js';
import type { TextEdit } from '../base/span.js';
import { backupProblems } from '../checks/backup.js';
import { type Comparison, compareDumps } from '../compare/compareDumps.js';
import { contentOf, type Label } from '../format/row.js';
import { readRows, textAfter } from '../format/rows.js';
import { editsOf } from '../model/byteWrite.js';
import { bind, type Dump } from '../model/dump.js';
import { type Restoring, restoreLine, restoreRecords } from '../repair/restore.js';

/** Edits after which lines hold what the backup holds, or why they cannot. */
export type RestorePlan =
  | { readonly kind: 'edits'; readonly edits: readonly TextEdit[]; readonly after: Dump }
  | { readonly kind: 'refused'; readonly why: Phrase };

/** Lines (of an image: addresses) in which a dump is not as its backup, by what they are called in a comparison. */
export function linesToRestore(dump: Dump, backup: Dump): readonly Label[] {
  return unlike(compareDumps(backup, dump));
}

/** Why a backup is no way back at all: it is of another vehicle, part or software level, or not sound. */
export function whyNoRestore(dump: Dump, backup: Dump): Phrase | undefined {
  return backupProblems(dump, { kind: 'read', dump: backup }).find(({ code }) => code !== 'locked-changed')?.message;
}

/**
 * The way back to the backup, for all lines or chosen ones. What people wrote around the bytes stays. Nothing is taken
 * on trust: the text is read again as it would be afterwards, and held against the backup byte for byte.
 */
export function planRestore(dump: Dump, backup: Dump, chosen?: readonly Label[]): RestorePlan {
  const unfit = whyNoRestore(dump, backup);
  if (unfit !== undefined) return { kind: 'refused', why: unfit };
  const wanted = new Set(chosen ?? linesToRestore(dump, backup));
  const edits = [...editsFor(dump, backup, wanted)].sort((a, b) => a.row - b.row || a.start - b.start || a.end - b.end);
  const text = textAfter(dump.rows, edits);
  const after = bind(readRows(text, dump.notation), dump.notation, dump.profile);
  const left = unlike(compareDumps(backup, after)).filter((label) => chosen === undefined || wanted.has(label));
  if (left.length === 0) return { kind: 'edits', edits, after };
  const why = phrase(
    'These cannot be taken back one by one: {0}. Copy the backup over this dump instead, or right these lines by hand.',
    listed(left),
  );
  return { kind: 'refused', why };
}

function unlike({ lines, onlyBefore, onlyAfter, uncompared }: Comparison): readonly Label[] {
  return [...new Set([...lines.map(({ label }) => label), ...onlyBefore, ...onlyAfter, ...uncompared])];
}

function editsFor(dump: Dump, backup: Dump, wanted: ReadonlySet<Label>): readonly TextEdit[] {
  const { kind, lines, onlyBefore, onlyAfter, uncompared } = compareDumps(backup, dump);
  if (kind === 'image') {
    const rows = lines.filter(({ label }) => wanted.has(label)).map(({ afterRow }) => afterRow);
    return asEdits(dump, [restoreRecords(dump, backup, rows)]);
  }
  const changed = [...lines.map(({ label }) => label), ...uncompared, ...onlyBefore].filter((label) =>
    wanted.has(label),
  );
  const gone = onlyAfter.filter((label) => wanted.has(label));
  return [
    ...asEdits(
      dump,
      changed.map((label) => restoreLine(dump, backup, label)),
    ),
    ...gone.flatMap((label) => emptied(dump, label)),
  ];
}

function asEdits(dump: Dump, all: readonly Restoring[]): readonly TextEdit[] {
  const writes = all.flatMap((one) => one.writes);
  return [...editsOf(dump, writes), ...all.flatMap(({ edits }) => edits)];
}

function emptied(dump: Dump, label: Label): readonly TextEdit[] {
  const row = dump.layout.rowOf(label);
  return row === undefined ? [] : [{ row, start: 0, end: contentOf(dump.rows[row]?.text ?? '').length, text: '' }];
}
