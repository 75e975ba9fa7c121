import {
  BACKUP,
  type BackupParams,
  type BackupResult,
  backupCopy,
  isUnsaved,
  PLAIN_VIEW,
  phrase,
  type Refusal,
  textReadBack,
} from '../../../shared-core/src/index.js';
import { answerOrRefuse, type Feature } from '../feature.js';
import type { Analysis, Session } from '../session.js';
import { toRefusal } from '../toChange.js';

/** The text of a sealed copy of a dump, and where the dump is to name it. Writing the file is the client's part. */
export const backup: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<BackupResult | Refusal, void>(BACKUP, ({ uri, isRaw }: BackupParams) =>
      answerOrRefuse(session, uri, (explained) => backupOf(session, explained, isRaw)),
    );
  },
};

export function backupOf(session: Session, explained: Analysis, isRaw = false): BackupResult | Refusal {
  if (isUnsaved(explained.file))
    return {
      refused: session.say(phrase('This dump is not saved yet, so there is no folder for a backup. Save it first.')),
    };
  const copy = isRaw ? backupCopy(explained, (text) => textReadBack(text, PLAIN_VIEW)) : backupCopy(explained);
  if (!copy.ok) return toRefusal(session, copy);
  const { names, text, naming } = copy.value;
  return { names, text, ...naming, version: explained.version };
}
