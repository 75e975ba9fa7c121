import { fixInSteps } from '../../../shared-core/src/actions/index.js';
import { phrase } from '../../../shared-core/src/base/index.js';
import { allSumsRight } from '../../../shared-core/src/checks/index.js';
import { CORRECT_CHECKSUMS, type CorrectChecksumsResult } from '../../../shared-core/src/protocol/balance.js';
import type { DumpParams, Refusal } from '../../../shared-core/src/protocol/common.js';
import { withDependents } from '../dependents.js';
import { answerOrRefuse, type Feature } from '../feature.js';
import type { CancellationToken } from '../lsp.js';
import type { Analysis, Session } from '../session.js';
import { inSlices } from '../slices.js';
import { toConsent, toEditResult } from '../toChange.js';

/** The edit of the quick fix that makes all sums right, for the command of that name. */
export const correctChecksums: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<CorrectChecksumsResult | Refusal, void>(
      CORRECT_CHECKSUMS,
      (params: DumpParams, cancel: CancellationToken) =>
        answerOrRefuse<CorrectChecksumsResult>(session, params.uri, (explained) =>
          editFor(session, explained, params, cancel),
        ),
    );
  },
};

async function editFor(
  session: Session,
  explained: Analysis,
  accepted: DumpParams,
  cancel: CancellationToken,
): Promise<CorrectChecksumsResult | Refusal> {
  const { dump } = explained;
  if (dump.rule === undefined && dump.totals.length === 0) return { refused: session.say(NO_SUMS_KNOWN) };
  const subject = await withDependents(session, explained);
  const result = await inSlices(fixInSteps(subject, { totals: 'keep' }, toConsent(accepted)), cancel);
  if (result.ok && result.value.writes.length === 0)
    return allSumsRight(result.value.sums) ? null : { refused: session.say(result.value.says) };
  return toEditResult(session, explained, result);
}

const NO_SUMS_KNOWN = phrase(
  'Nothing is known of the sums of this dump. Name its profile in a line "@profile NAME.dump-profile.json".',
);
