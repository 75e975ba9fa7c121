import type { LoadedDump } from '../../../shared-core/src/checks/index.js';
import {
  confirmedInWords,
  confirmingWish,
  type UnconfirmedSum,
  unconfirmedSums,
} from '../../../shared-core/src/jobs/index.js';
import {
  UNCONFIRMED_SUMS,
  type UnconfirmedSumsParams,
  type UnconfirmedSumsResult,
} from '../../../shared-core/src/protocol/learning.js';
import { canonicalUri } from '../../../shared-core/src/workspace/index.js';
import type { Feature } from '../feature.js';
import type { Session } from '../session.js';
import { pauses } from '../slices.js';

/** Which file sums of a profile are a guess no more, as dumps with other values follow them. */
export const unconfirmedSumsFeature: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<UnconfirmedSumsResult, void>(
      UNCONFIRMED_SUMS,
      async ({ profile }: UnconfirmedSumsParams): Promise<UnconfirmedSumsResult> => {
        const sums = await sumsInDoubt(session, profile);
        return {
          wish: confirmingWish(sums) ?? null,
          says: sums.flatMap(confirmedInWords).map((one) => session.say(one)),
        };
      },
    );
  },
};

/** Closed files with more bytes than these are not looked at: they would hold up whoever types. */
const LONGEST_CLOSED = 10_000_000;

/** The file sums of a profile that are only a guess, with what all dumps in the folders that are open show of them. */
export async function sumsInDoubt(session: Session, profile: string): Promise<readonly UnconfirmedSum[]> {
  await session.files.lookAgain();
  const uri = canonicalUri(profile);
  const dumps: LoadedDump[] = [];
  const pause = pauses();
  const open = [...session.documents.values()].flatMap(({ kind, uri: at }) =>
    kind === 'dump' ? canonicalUri(at) : [],
  );
  for (const file of new Set([...(await session.list()).dumps.map(canonicalUri), ...open])) {
    await pause();
    const loaded = await session.analyzeFile(file, LONGEST_CLOSED);
    if (loaded.ok) dumps.push(loaded.value);
  }
  return unconfirmedSums(dumps, uri);
}
