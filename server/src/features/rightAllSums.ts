import {
  type Dump,
  type DumpParams,
  fix,
  type Phrase,
  phrase,
  type Refusal,
  RIGHT_ALL_SUMS,
  type RightAllSumsResult,
} from '../../../shared-core/src/index.js';
import { answerOrRefuse, type Feature } from '../feature.js';
import type { Analysis, Session } from '../session.js';
import { toConsent, toEditResult } from '../toChange.js';
import { isChecked } from './codeLens.js';

/** The edit of the quick fix that makes all sums right, for the command of that name. */
export const rightAllSums: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<RightAllSumsResult | Refusal, void>(RIGHT_ALL_SUMS, (params: DumpParams) =>
      answerOrRefuse<RightAllSumsResult>(session, params.uri, (explained) => editFor(session, explained, params)),
    );
  },
};

function editFor(session: Session, explained: Analysis, accepted: DumpParams): RightAllSumsResult | Refusal {
  const result = fix(explained, { totals: 'keep' }, toConsent(accepted));
  const untold = whyUntold(explained.dump);
  if (result.ok && result.value.writes.length === 0)
    return untold === undefined ? null : { refused: session.say(untold) };
  return toEditResult(session, explained, result, untold);
}

/** Why nobody can tell that all sums are right; undefined where they are once none is known to be wrong. */
function whyUntold(dump: Dump): Phrase | undefined {
  if (dump.rule === undefined && dump.totals.length === 0)
    return phrase(
      'Nothing is known of the sums of this dump. Name its profile in a line "@profile NAME.dump-profile.json".',
    );
  return isChecked(dump) && dump.layout.missing.length === 0
    ? undefined
    : phrase('Not all sums can be checked: a line is missing or cannot be read. Right that first.');
}
