import { explainsWhole, whyNotNamed } from '../../../shared-core/src/actions/index.js';
import { type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import type { Profile } from '../../../shared-core/src/profile/index.js';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import {
  type HeaderPlace,
  SIMILAR_DUMPS,
  type SimilarDumpsParams,
  type SimilarDumpsResult,
} from '../../../shared-core/src/protocol/learning.js';
import { canonicalUri, fileName, relativePath } from '../../../shared-core/src/workspace/index.js';
import { dumpNames } from '../dumpNames.js';
import type { Feature } from '../feature.js';
import type { Session } from '../session.js';
import { pauses } from '../slices.js';
import { toRefusal } from '../toChange.js';
import { namingBeside, namingOf, readUnbound, type Unbound } from '../unboundDumps.js';

/** Which dumps may name the profile of another one, as it explains them too. */
export const similarDumps: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<SimilarDumpsResult | Refusal, void>(SIMILAR_DUMPS, (params: SimilarDumpsParams) =>
      similarTo(session, params),
    );
  },
};

async function similarTo(
  session: Session,
  { uri, profile }: SimilarDumpsParams,
): Promise<SimilarDumpsResult | Refusal> {
  await session.files.lookAgain();
  const reading = await session.files.readProfile(profile);
  if (!reading.ok) return toRefusal(session, reading);
  const found: { readonly uri: string; readonly unbound: Unbound }[] = [];
  const pause = pauses();
  for (const other of (await session.list()).dumps) {
    if (other === canonicalUri(uri)) continue;
    await pause();
    const read = await readUnbound(session, other);
    // What cannot be read is told where dumps are learned from; that it is similar nobody can say.
    if (read.ok && explainsWhole(reading.value.profile, read.value.dump, fileName(other)))
      found.push({ uri: other, unbound: read.value });
  }
  const names = dumpNames([uri, ...found.map((one) => one.uri)]).slice(1);
  const dumps: SimilarDumpsResult['dumps'][number][] = [];
  const left: string[] = [];
  for (const [i, { uri: other, unbound }] of found.entries()) {
    const name = names[i] ?? fileName(other);
    const [naming, path] = [placeOf(session, other, unbound), relativePath(other, profile)];
    const why = whyLeft(unbound, reading.value.profile, naming);
    if (why === undefined && naming !== null && path !== undefined) dumps.push({ uri: other, name, naming, path });
    else left.push(session.say(phrase('{0} stays as it is: {1}', name, why ?? phrase('it cannot name the profile.'))));
  }
  return { dumps, left };
}

/** Where a dump is to name the profile: raw bytes of which no text is open do so in the file of their headers. */
function placeOf(session: Session, uri: string, unbound: Unbound): HeaderPlace | null {
  const naming = namingOf(unbound);
  return naming !== null && session.isClosedRaw(uri) ? namingBeside(unbound) : naming;
}

function whyLeft({ dump }: Unbound, profile: Profile, naming: HeaderPlace | null): Phrase | undefined {
  return whyNotNamed(dump, profile, { beside: naming?.isBeside === true });
}
