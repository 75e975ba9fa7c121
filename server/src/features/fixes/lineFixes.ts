import {
  contentOf,
  type Dump,
  editsOf,
  otherIdentity,
  type Phrase,
  type Problem,
  phrase,
  restoreLine,
  restoreRecords,
} from '../../../../shared-core/src/index.js';
import type { Analysis } from '../../session.js';
import type { Fix } from './fix.js';

export function replaceFix({ row, start, end, meant }: Problem): readonly Fix[] {
  if (meant === undefined) return [];
  return [
    {
      kind: 'edits',
      title: phrase('Write "{0}" here', meant),
      edits: [{ row, start, end, text: meant }],
      preferred: true,
    },
  ];
}

export function restoreFix({ dump, backup }: Analysis, { label, row }: Problem): readonly Fix[] {
  // What another car or software level holds there is no way back.
  if (backup.kind !== 'read' || otherIdentity(dump, backup.dump) !== undefined) return [];
  if (dump.layout.kind === 'image') {
    const { writes, edits } = restoreRecords(dump, backup.dump, [row]);
    const record = [...editsOf(dump, writes), ...edits];
    return record.length === 0
      ? []
      : [{ kind: 'edits', title: phrase('Take this record from the backup'), edits: record }];
  }
  if (label === undefined) return [];
  const line = restoreLine(dump, backup.dump, label);
  const edits = [...editsOf(dump, line.writes), ...line.edits];
  return edits.length === 0 ? [] : [{ kind: 'edits', title: phrase('Take line {0} from the backup', label), edits }];
}

/** Reading a file as what it is, under whatever name. */
export function readAsFix({ written }: Problem, commands: boolean): readonly Fix[] {
  if (written === undefined || !commands) return [];
  const title = written === 'intel-hex' ? phrase('Read this file as Intel HEX') : phrase('Read this file as S-records');
  return [{ kind: 'command', title, command: 'countersum._readAs', argument: written }];
}

/** Text behind a record becomes a comment before it. */
export function ownLineFix({ rows }: Dump, { row, start, end }: Problem): readonly Fix[] {
  const record = rows[row];
  if (record?.kind !== 'record') return [];
  const behind = record.text.slice(start, end).replace(/^[;#/\s]+/, '');
  const from = record.text.slice(0, start).trimEnd().length;
  const lineEnd = record.text.slice(contentOf(record.text).length) || '\n';
  const edits = [
    { row, start: 0, end: 0, text: `; ${behind}${lineEnd}` },
    { row, start: from, end, text: '' },
  ];
  return [{ kind: 'edits', title: phrase('Give this text a line of its own'), edits, preferred: true }];
}

export function emptyLine(dump: Dump, row: number, title: Phrase): Fix {
  const last = row === dump.rows.length - 1;
  const text = dump.rows[row]?.text ?? '';
  const end = last ? text.length : contentOf(text).length;
  return { kind: 'edits', title, edits: [{ row, start: 0, end, text: '' }] };
}
