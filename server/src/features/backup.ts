import {
  BACKUP,
  type BackupResult,
  type DumpParams,
  headerOf,
  phrase,
  type Refusal,
  sealOf,
  textOfRows,
} from '../../../shared-core/src/index.js';
import type { Feature } from '../feature.js';
import type { Explained, Session } from '../session.js';
import { fileName } from '../uri.js';

/** The text of a sealed copy of a dump, and where the dump is to name it. Writing the file is the client's part. */
export const backup: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<BackupResult | Refusal, void>(BACKUP, async ({ uri }: DumpParams) => {
      const explained = await session.explain(uri);
      return explained === undefined
        ? { refused: session.say(phrase('Open the dump first.')) }
        : backupOf(session, explained);
    });
  },
};

const MOST_NAMES = 99;

export function backupOf(session: Session, { uri, version, dump, backup: status }: Explained): BackupResult | Refusal {
  if (headerOf(dump, 'seal') !== undefined) {
    return { refused: session.say(phrase('This dump is a sealed backup itself.')) };
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
  if (dump.troubled.length > 0) {
    return {
      refused: session.say(
        phrase(
          '{0} lines of this dump cannot be read. Right them first, so that the backup is whole.',
          dump.troubled.length,
        ),
      ),
    };
  }
  const named = headerOf(dump, 'backup')?.row ?? -1;
  const stem = fileName(uri).replace(/\.cfgdump$/, '');
  const lineEnd = dump.rows[0]?.text.endsWith('\r\n') ? '\r\n' : '\n';
  const kept = dump.rows.filter((_, row) => row !== named);
  const text = `@seal ${sealOf(dump.rows)}${lineEnd}${textOfRows(kept)}`;
  const names = Array.from({ length: MOST_NAMES }, (_, i) => `${stem}.backup${i === 0 ? '' : `-${i + 1}`}.cfgdump`);
  const profile = headerOf(dump, 'profile')?.row ?? -1;
  return { names, text, line: named >= 0 ? named : profile + 1, replaces: named >= 0, version };
}
