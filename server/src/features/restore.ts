import {
  compareDumps,
  type DumpParams,
  labelText,
  linesToRestore,
  phrase,
  RESTORABLE_LINES,
  RESTORE,
  type Refusal,
  type RestorableLine,
  type RestoreParams,
  type RestoreResult,
  restoreInWords,
  restore as restoreLines,
  soundBackup,
} from '../../../shared-core/src/index.js';
import { answerOrRefuse, type Feature } from '../feature.js';
import type { Analysis, Session } from '../session.js';
import { toConsent, toEditResult, toRefusal } from '../toChange.js';

/** The lines in which a dump differs from its backup, and the edit that restores them. */
export const restore: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<readonly RestorableLine[] | Refusal, void>(RESTORABLE_LINES, ({ uri }: DumpParams) =>
      answerOrRefuse(session, uri, (explained) => linesFor(session, explained)),
    );
    connection.onRequest<RestoreResult | Refusal, void>(RESTORE, (params: RestoreParams) =>
      answerOrRefuse(session, params.uri, (explained) => restoreChosen(session, explained, params)),
    );
  },
};

function linesFor(session: Session, explained: Analysis): readonly RestorableLine[] | Refusal {
  const backup = soundBackup(explained);
  if (!backup.ok) return toRefusal(session, backup);
  const { lines } = compareDumps(backup.value, explained.dump);
  const unlike = linesToRestore(explained.dump, backup.value);
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
  { labels: chosen, ...accepted }: RestoreParams,
): RestoreResult | Refusal {
  const backup = soundBackup(explained);
  if (!backup.ok) return toRefusal(session, backup);
  const labels = linesToRestore(explained.dump, backup.value).filter((label) => chosen.includes(labelText(label)));
  return toEditResult(session, explained, restoreLines(explained, labels, toConsent(accepted)));
}
