import { phrase } from '../../../shared-core/src/base/index.js';
import {
  asReading,
  doubtInWords,
  type ReadBack,
  readBackPage,
  seenInCar,
  verdictInWords,
} from '../../../shared-core/src/jobs/index.js';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import {
  VERIFY_READ_BACK,
  type VerifyReadBackParams,
  type VerifyReadBackResult,
} from '../../../shared-core/src/protocol/retrofit.js';
import { fileName, verifyInFolder } from '../../../shared-core/src/workspace/index.js';

import { basesOf } from '../bases.js';
import { answerOrRefuse, type Feature } from '../feature.js';
import type { Analysis, Session } from '../session.js';
import { toRefusal } from '../toChange.js';

/** Whether what was read from a module is what a dump planned, as a page with the likely cause of each difference. */
export const readBack: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<VerifyReadBackResult | Refusal, void>(VERIFY_READ_BACK, (params: VerifyReadBackParams) =>
      answerOrRefuse(session, params.uri, (explained) => verify(session, params, explained)),
    );
  },
};

async function verify(
  session: Session,
  params: VerifyReadBackParams,
  analysis: Analysis,
): Promise<VerifyReadBackResult | Refusal> {
  const { dump: planned } = analysis;
  const name = fileName(params.read);
  const found = asReading(name, await session.files.readDump(params.read, planned.profile), planned.profile);
  if (!found.ok) return toRefusal(session, found);
  const read = found.value;
  const now = new Date().toISOString();
  const verification = await verifyInFolder(session.files, analysis, { file: params.read, dump: read }, now);
  const doubt = doubtInWords(verification);
  return {
    title: session.say(phrase('Read-back: {0}', name)),
    page: readBackPage(verification, { name: fileName(params.uri), dump: planned }, { name, dump: read }, session.say),
    matches: verification.matches,
    verdict: session.say(verdictInWords(verification)),
    doubt: doubt === undefined ? null : session.say(doubt),
    ...(await seenIn(session, analysis, { name, dump: read, verification })),
  };
}

/** What may be noted in the profile; a read-back is shown and what there is to say of it all the same. */
async function seenIn(
  session: Session,
  analysis: Analysis,
  read: ReadBack,
): Promise<Pick<VerifyReadBackResult, 'seen' | 'whyUnseen'>> {
  const file = analysis.profileFile;
  const text = file === undefined ? undefined : await session.files.readText(file);
  if (file === undefined || text?.ok !== true) return { seen: [], whyUnseen: null };
  const bases = await basesOf(session, file, text.value);
  const found = seenInCar(analysis, read, { file, text: text.value, bases }, { now: new Date().toISOString() });
  return found.ok ? { seen: found.value, whyUnseen: null } : { seen: [], whyUnseen: session.say(found.why) };
}
