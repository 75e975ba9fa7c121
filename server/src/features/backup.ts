import {
  BACKUP,
  type BackupResult,
  type DumpParams,
  fileName,
  headerOf,
  isImage,
  isUnsaved,
  lineEndOf,
  phrase,
  type Refusal,
  sealOf,
  textOfRows,
} from '../../../shared-core/src/index.js';
import { answerOrRefuse, type Feature } from '../feature.js';
import { placeForHeader } from '../headerPlace.js';
import type { Analysis, Session } from '../session.js';

/** The text of a sealed copy of a dump, and where the dump is to name it. Writing the file is the client's part. */
export const backup: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<BackupResult | Refusal, void>(BACKUP, ({ uri }: DumpParams) =>
      answerOrRefuse(session, uri, (explained) => backupOf(session, explained)),
    );
  },
};

const MOST_NAMES = 99;

export function backupOf(
  session: Session,
  { file: uri, version, dump, backup: status }: Analysis,
): BackupResult | Refusal {
  if (headerOf(dump, 'seal') !== undefined) {
    return { refused: session.say(phrase('This dump is a sealed backup itself.')) };
  }
  if (isUnsaved(uri)) {
    return {
      refused: session.say(phrase('This dump is not saved yet, so there is no folder for a backup. Save it first.')),
    };
  }
  if (status.kind === 'read') {
    return {
      refused: session.say(
        phrase(
          'This dump has a backup already: "{0}". It is kept as it is.',
          headerOf(dump, 'backup')?.header.value ?? '',
        ),
      ),
    };
  }
  if (dump.invalidRows.length > 0) {
    return {
      refused: session.say(
        phrase(
          '{0} lines of this dump cannot be read. Right them first, so that the backup is whole.',
          dump.invalidRows.length,
        ),
      ),
    };
  }
  const named = headerOf(dump, 'backup')?.row ?? -1;
  const lineEnd = lineEndOf(dump.rows);
  const kept = textOfRows(dump.rows.filter((_, row) => row !== named));
  // Programs that read images stop at the end record, and most of them at any line that is no record: what is for
  // people stands behind it.
  const image = isImage(dump.notation);
  const name = fileName(uri);
  const ending = image ? name.slice(name.lastIndexOf('.')) : '.cfgdump';
  const stem = name.endsWith(ending) ? name.slice(0, -ending.length) : name;
  const names = Array.from({ length: MOST_NAMES }, (_, i) => `${stem}.backup${i === 0 ? '' : `-${i + 1}`}${ending}`);
  const mark = image ? '; ' : '';
  const seal = `${mark}@seal ${sealOf(dump.rows)}${lineEnd}`;
  const open = image && kept !== '' && !/[\r\n]$/.test(kept) ? lineEnd : '';
  const text = image ? `${kept}${open}${seal}` : `${seal}${kept}`;
  const naming =
    named >= 0
      ? { line: named, column: 0, replaces: true, before: `${mark}@backup `, after: '' }
      : { ...placeForHeader(dump, 'backup'), replaces: false };
  return { names, text, ...naming, version };
}
