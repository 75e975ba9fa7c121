import { backupCopy, whyEvidence } from '../../../shared-core/src/actions/index.js';
import { done, phrase, type Result, refuse } from '../../../shared-core/src/base/index.js';
import { readRows, textOfRows } from '../../../shared-core/src/format/index.js';
import { type Dump, headerValue, sameRecords } from '../../../shared-core/src/model/index.js';
import {
  BACKUP,
  BACKUP_WRITTEN,
  type BackupParams,
  type BackupResult,
  type BackupWrittenParams,
} from '../../../shared-core/src/protocol/backup.js';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import {
  createWorkspace,
  fileName,
  isUnsaved,
  PLAIN_VIEW,
  textReadBack,
} from '../../../shared-core/src/workspace/index.js';
import { withEvidence } from '../dependents.js';
import { answerOrRefuse, type Feature } from '../feature.js';
import type { CancellationToken } from '../lsp.js';
import type { Analysis, Session } from '../session.js';
import { toRefusal } from '../toChange.js';

/** The text of a sealed copy of a dump, and where the dump is to name it. Writing the file is the client's part. */
export const backup: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<BackupResult | Refusal, void>(BACKUP, ({ uri, isRaw }: BackupParams, token) =>
      answerOrRefuse(session, uri, (explained) => backupOf(session, explained, isRaw === true, token)),
    );
    connection.onRequest<object | Refusal, void>(BACKUP_WRITTEN, async (params: BackupWrittenParams, token) => {
      const read = await readBack(session, params, token);
      return read.ok ? {} : toRefusal(session, read);
    });
  },
};

/** A backup is of what was read: where the editor holds other bytes than the file, it is of the file. */
async function backupOf(
  session: Session,
  explained: Analysis,
  isRaw: boolean,
  token: CancellationToken,
): Promise<BackupResult | Refusal> {
  if (isUnsaved(explained.file))
    return {
      refused: session.say(phrase('This dump is not saved yet, so there is no folder for a backup. Save it first.')),
    };
  // A dump that names a backup counts as one that is worked on.
  const evidence = whyEvidence(await withEvidence(session, explained));
  if (evidence !== undefined) return { refused: session.say(evidence) };
  const saved = await savedDump(session, explained, token);
  if (!saved.ok) return toRefusal(session, saved);
  const asRaw = isRaw ? (text: string) => textReadBack(text, PLAIN_VIEW) : undefined;
  const rowsOf = ({ rows, notation }: Dump) => {
    const again = asRaw?.(textOfRows(rows));
    return again?.ok ? readRows(again.value, notation) : rows;
  };
  const isSaved = !sameRecords(rowsOf(saved.value), rowsOf(explained.dump));
  const dump = isSaved ? saved.value : explained.dump;
  const copy = backupCopy({ ...explained, dump }, asRaw, explained.dump);
  if (!copy.ok) return toRefusal(session, isSaved ? ofSavedFile(copy.why) : copy);
  const { names, text, seal, beside, naming } = copy.value;
  return { names, text, seal, ...(beside !== undefined && { beside }), isSaved, ...naming, version: explained.version };
}

/** A backup from its file, as every way in reads it. */
async function readBack(
  session: Session,
  { uri, seal }: BackupWrittenParams,
  token: CancellationToken,
): Promise<Result<Dump>> {
  const read = await createWorkspace(session.saved(token)).explain(uri);
  if (read.ok && read.value.dump.sealHolds === true && headerValue(read.value.dump, 'seal') === seal)
    return done(read.value.dump);
  return refuse(phrase('{0} was written and is not read back as it was sealed, so nothing names it.', fileName(uri)));
}

function ofSavedFile(why: Parameters<typeof refuse>[0]): ReturnType<typeof refuse> {
  return refuse(
    phrase('Save the dump first, if the editor has what was read: a backup is made of the saved file. {0}', why),
  );
}

/** The dump as it is saved, by the profile that explains it in the editor. */
async function savedDump(session: Session, { file, dump }: Analysis, token: CancellationToken): Promise<Result<Dump>> {
  const { profile, notation } = dump;
  const read = await createWorkspace(session.saved(token)).readDump(file, { ...profile, notation });
  if (read.ok) return read;
  return refuse(phrase('{0} cannot be read as it is saved: {1}. Save it first.', fileName(file), read.why));
}
