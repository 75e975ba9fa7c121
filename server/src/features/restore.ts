import {
  cautionsOfChange,
  compareDumps,
  type DumpParams,
  type Label,
  labelText,
  linesToRestore,
  phrase,
  planRestore,
  RESTORABLE_LINES,
  RESTORE,
  type Refusal,
  type RestorableLine,
  type RestoreParams,
  type RestoreResult,
  restoreInWords,
  whyNoRestore,
} from '../../../shared-core/src/index.js';
import type { Feature } from '../feature.js';
import type { Analysis, Session } from '../session.js';
import { toWorkspaceEdit } from '../toLsp.js';

/** The lines in which a dump is not as its backup, and the edit that takes them back. */
export const restore: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<readonly RestorableLine[] | Refusal, void>(RESTORABLE_LINES, ({ uri }: DumpParams) =>
      withBackup(session, uri, linesFor),
    );
    connection.onRequest<RestoreResult | Refusal, void>(RESTORE, ({ uri, labels }: RestoreParams) =>
      withBackup(session, uri, (_, explained, backup) => restoreChosen(session, explained, backup, labels)),
    );
  },
};

type Dump = Analysis['dump'];

async function withBackup<T>(
  session: Session,
  uri: string,
  use: (session: Session, explained: Analysis, backup: Dump) => T | Refusal,
): Promise<T | Refusal> {
  const explained = await session.analyze(uri);
  if (explained === undefined) return { refused: session.say(phrase('Open the dump first.')) };
  const { backup } = explained;
  if (backup.kind === 'read') return use(session, explained, backup.dump);
  const why = {
    none: phrase(
      'This dump names no backup, so there is no way back. Add a line "@backup NAME.cfgdump" where one exists.',
    ),
    itself: phrase('The backup is this file itself. Name the dump as it was found.'),
    unreadable: backup.kind === 'unreadable' ? backup.why : phrase(''),
  }[backup.kind];
  return { refused: session.say(why) };
}

function linesFor(session: Session, { dump }: Analysis, backup: Dump): readonly RestorableLine[] | Refusal {
  const why = whyNoRestore(dump, backup);
  if (why !== undefined) return { refused: session.say(why) };
  const { lines } = compareDumps(backup, dump);
  const unlike = linesToRestore(dump, backup);
  if (unlike.length === 0) return { refused: session.say(phrase('This dump holds the same bytes as its backup.')) };
  return unlike.map((label) => {
    const line = lines.find((one) => one.label === label);
    const detail = line === undefined ? phrase('missing, not in the backup, or not readable') : restoreInWords(line);
    return { label: labelText(label), detail: session.say(detail) };
  });
}

function restoreChosen(
  session: Session,
  explained: Analysis,
  backup: Dump,
  chosen: readonly string[],
): RestoreResult | Refusal {
  const { dump, version } = explained;
  const labels = linesToRestore(dump, backup).filter((label: Label) => chosen.includes(labelText(label)));
  const result = planRestore(dump, backup, labels);
  if (result.kind === 'refused') return { refused: session.say(result.why) };
  return {
    edit: toWorkspaceEdit(session, explained, result.edits),
    version,
    says: session.say(phrase('{0} lines as in the backup again', labels.length)),
    cautions: cautionsOfChange(dump, result.after).map(session.say),
  };
}
