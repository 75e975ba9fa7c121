import { linesToChoose, type Restored, restoreInSteps, soundBackup } from '../../../shared-core/src/actions/index.js';
import { listed, type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import { compareDumps, remarksInWords, restoreInWords } from '../../../shared-core/src/compare/index.js';
import { labelText } from '../../../shared-core/src/format/index.js';
import { lineName } from '../../../shared-core/src/model/index.js';
import {
  RESTORABLE_LINES,
  RESTORE,
  type RestorableLine,
  type RestoreParams,
  type RestoreResult,
} from '../../../shared-core/src/protocol/backup.js';
import type { DumpParams, Refusal } from '../../../shared-core/src/protocol/common.js';
import { withDependents } from '../dependents.js';
import { answerOrRefuse, type Feature } from '../feature.js';
import type { CancellationToken } from '../lsp.js';
import type { Analysis, Session } from '../session.js';
import { inSlices } from '../slices.js';
import { toConsent, toEditResult, toRefusal } from '../toChange.js';

/** The lines in which a dump differs from its backup, and the edit that restores them. */
export const restore: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<readonly RestorableLine[] | Refusal, void>(RESTORABLE_LINES, ({ uri }: DumpParams) =>
      answerOrRefuse(session, uri, (explained) => linesFor(session, explained)),
    );
    connection.onRequest<RestoreResult | Refusal, void>(RESTORE, (params: RestoreParams, cancel: CancellationToken) =>
      answerOrRefuse(session, params.uri, (explained) => restoreChosen(session, explained, params, cancel)),
    );
  },
};

function linesFor(session: Session, explained: Analysis): readonly RestorableLine[] | Refusal {
  const backup = soundBackup(explained);
  if (!backup.ok) return toRefusal(session, backup);
  const comparison = compareDumps(backup.value, explained.dump);
  const { lines, identical } = comparison;
  if (identical) return { refused: session.say(phrase('This dump holds the same bytes as its backup.')) };
  const unlike = linesToChoose(explained.dump, backup.value);
  if (unlike.length === 0) {
    const why = listed(remarksInWords(comparison), ' ');
    return { refused: session.say(phrase('No line that differs can be restored by itself. {0}', why)) };
  }
  return unlike.map((label) => {
    const line = lines.find((one) => one.label === label);
    const detail = line === undefined ? phrase('missing, not in the backup, or not readable') : restoreInWords(line);
    return {
      label: labelText(label),
      title: session.say(
        line === undefined || explained.dump.layout.kind === 'image'
          ? lineName(explained.dump, label)
          : phrase('Line {0}', line.called),
      ),
      detail: session.say(detail),
    };
  });
}

async function restoreChosen(
  session: Session,
  explained: Analysis,
  { labels: chosen, ...accepted }: RestoreParams,
  cancel: CancellationToken,
): Promise<RestoreResult | Refusal> {
  const backup = soundBackup(explained);
  if (!backup.ok) return toRefusal(session, backup);
  const all = linesToChoose(explained.dump, backup.value);
  const some = all.filter((label) => chosen.includes(labelText(label)));
  // Of all that are to choose from, nothing is to stay as it is.
  const labels = some.length === all.length ? undefined : some;
  const subject = await withDependents(session, explained);
  const result = await inSlices(restoreInSteps(subject, labels, toConsent(accepted)), cancel);
  return toEditResult(session, explained, result, result.ok ? doneInWords(result.value) : undefined);
}

function doneInWords({ labels, left, remarks }: Restored): Phrase {
  if (left.length + remarks.length === 0) return phrase('Every byte is as in the backup again.');
  const count = phrase('{0} lines are as in the backup again; {1} still differ.', labels.length, left.length);
  return listed([count, ...remarks], ' ');
}
