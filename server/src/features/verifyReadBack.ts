import {
  phrase,
  type Refusal,
  readBackPage,
  VERIFY_READ_BACK,
  type VerifyReadBackParams,
  type VerifyReadBackResult,
  verdictInWords,
  verifyReadBack,
} from '../../../shared-core/src/index.js';
import type { Feature } from '../feature.js';
import type { Session } from '../session.js';
import { fileName } from '../uri.js';

/** Whether what was read from a module is what a dump planned, as a page with the likely cause of each difference. */
export const readBack: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<VerifyReadBackResult | Refusal, void>(VERIFY_READ_BACK, (params: VerifyReadBackParams) =>
      verify(session, params),
    );
  },
};

async function verify(session: Session, params: VerifyReadBackParams): Promise<VerifyReadBackResult | Refusal> {
  const explained = await session.analyze(params.uri);
  if (explained === undefined) return { refused: session.say(phrase('Open the dump first.')) };
  const { dump: planned, backup } = explained;
  const read = await session.readDump(params.read, planned.profile);
  const name = fileName(params.read);
  if (!read?.rows.some(({ kind }) => kind === 'record'))
    return { refused: session.say(phrase('{0} is no dump: not one line of it is a record.', name)) };
  const verification = verifyReadBack(planned, read, backup.kind === 'read' ? backup.dump : undefined);
  return {
    title: session.say(phrase('Read-back: {0}', name)),
    page: readBackPage(verification, { name: fileName(params.uri), dump: planned }, { name, dump: read }, session.say),
    matches: verification.matches,
    verdict: session.say(verdictInWords(verification)),
  };
}
