import { hex } from '../../base/hex.js';
import { type Phrase, phrase } from '../../base/phrase.js';
import type { Steps } from '../../base/steps.js';
import type { Problem } from '../../checks/problem.js';
import { formOf } from '../../format/forms.js';
import { contentOf, type Label } from '../../format/row.js';
import { calledLine } from '../../model/lineName.js';
import { emptiedRow } from '../../repair/restore.js';
import { changeOf, type Subject } from '../change.js';
import { restoreInSteps } from '../restore.js';
import { type ChangeFix, type Fix, ifPossible } from './fix.js';

/** Writes what was probably meant at the place of a problem. */
export function replaceFix(subject: Subject, { row, start, end, meant }: Problem): readonly Fix[] {
  if (meant === undefined) return [];
  const title = phrase('Write "{0}" here', meant);
  const result = changeOf(subject, { edits: [{ row, start, end, text: meant }] }, title, {});
  return [{ kind: 'change', title, result, preferred: true }];
}

/** Restores the line of a problem, or the record of an image, from the dump's own backup. */
export function* restoreFix(subject: Subject, { label, row }: Problem): Steps<readonly Fix[]> {
  const { dump } = subject;
  if (dump.layout.kind !== 'image')
    return label === undefined
      ? []
      : yield* restored(subject, phrase('Restore line {0} from the backup', calledLine(dump, label)), label);
  const at = dump.layout.order.indexOf(row);
  const address = dump.layout.keys[at];
  return address === undefined
    ? []
    : yield* restored(subject, phrase('Restore this record from the backup'), hex(address, 4));
}

function* restored(subject: Subject, title: Phrase, label: Label): Steps<readonly ChangeFix[]> {
  return ifPossible({ kind: 'change', title, result: yield* restoreInSteps(subject, [label]) });
}

/** Reading a file as what it is, under whatever name. */
export function readAsFix({ written }: Problem): readonly Fix[] {
  const form = written === undefined ? undefined : formOf(written);
  if (form === undefined) return [];
  return [
    { kind: 'command', title: phrase('Read this file as {0}', form.title), command: 'readAs', argument: form.language },
  ];
}

/** Text behind a record becomes a comment before it. */
export function ownLineFix(subject: Subject, { row, start, end }: Problem): readonly Fix[] {
  const record = subject.dump.rows[row];
  if (record?.kind !== 'record') return [];
  const behind = record.text.slice(start, end).replace(/^[;#/\s]+/, '');
  const from = record.text.slice(0, start).trimEnd().length;
  const lineEnd = record.text.slice(contentOf(record.text).length) || '\n';
  const edits = [
    { row, start: 0, end: 0, text: `${subject.dump.notation.commentSign} ${behind}${lineEnd}` },
    { row, start: from, end, text: '' },
  ];
  const title = phrase('Give this text a line of its own');
  return [{ kind: 'change', title, result: changeOf(subject, { edits }, title, {}), preferred: true }];
}

/** Empties a row that should not be there. */
export function emptyLine(subject: Subject, row: number, title: Phrase): Fix {
  return { kind: 'change', title, result: changeOf(subject, { edits: [emptiedRow(subject.dump, row)] }, title, {}) };
}
