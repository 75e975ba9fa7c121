import { phrase } from '../../../shared-core/src/base/index.js';
import { DIAGNOSTICS } from '../../../shared-core/src/checks/index.js';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import {
  LIST_PROFILES,
  type ListProfilesParams,
  type ListProfilesResult,
  type ProfileEntry,
  TEST_SAMPLES,
  type TestSamplesResult,
} from '../../../shared-core/src/protocol/profiles.js';
import {
  fileName,
  type ListedProfile,
  listProfiles,
  profileProblems,
  proveBySamples,
  provedInWords,
} from '../../../shared-core/src/workspace/index.js';
import { dumpNames } from '../dumpNames.js';
import type { Feature } from '../feature.js';
import { profilesOf } from '../profileFolders.js';
import type { Session } from '../session.js';
import { pauses } from '../slices.js';
import { toRefusal } from '../toChange.js';

/** What the profiles at hand are for, and whether one holds against its samples. */
export const profileLibrary: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<ListProfilesResult, void>(LIST_PROFILES, ({ around }: ListProfilesParams, cancel) =>
      listAll(session, around, pauses(cancel)),
    );
    connection.onRequest<TestSamplesResult | Refusal, void>(TEST_SAMPLES, ({ uri }: { readonly uri: string }) =>
      testSamples(session, uri),
    );
  },
};

async function listAll(
  session: Session,
  around: string | null,
  pause: ReturnType<typeof pauses>,
): Promise<ListProfilesResult> {
  await session.files.lookAgain();
  const { profiles, unlisted, hasFolder } = await profilesOf(session, around);
  const names = dumpNames(profiles);
  const nameByUri = new Map(profiles.map((uri, i) => [uri, names[i] ?? uri]));
  const nameOf = (uri: string) => nameByUri.get(uri) ?? fileName(uri);
  const listed = await listProfiles(profiles, { nameOf, readProfile: session.files.readProfile, pause });
  return {
    profiles: listed.ok ? listed.value.map((one) => toEntry(session, one, nameOf)) : [],
    unlisted: unlisted.map(session.say),
    hasFolder,
  };
}

function toEntry(
  { say }: Session,
  { file, name, index, options, problems }: ListedProfile,
  nameOf: (uri: string) => string,
): ProfileEntry {
  return {
    uri: file,
    name,
    title: index?.title ?? null,
    part: index?.appliesTo?.part ?? [],
    software: index?.appliesTo?.software ?? [],
    bases: (index?.bases ?? []).map(nameOf),
    options: options.map(({ id, title, group, confidence, seen, words, at }) => ({
      title,
      confidence: confidence ?? null,
      seen,
      words: [id, group ?? '', ...words].join(' '),
      at: { uri: at.file, start: at.start },
    })),
    samples: index?.proofs ?? 0,
    problems: problems.map(({ message, at }) => ({ says: say(message), at: { uri: at.file, start: at.start } })),
  };
}

async function testSamples(session: Session, uri: string): Promise<TestSamplesResult | Refusal> {
  const { files, say } = session;
  await files.lookAgain();
  const name = fileName(uri);
  const reading = await files.readProfile(uri);
  if (!reading.ok) return toRefusal(session, reading);
  const problems = await profileProblems(uri, reading.value, files.readProfile);
  const problem = problems.find(({ code }) => DIAGNOSTICS[code].severity === 'error');
  if (problem !== undefined)
    return { refused: say(phrase('{0} has problems; correct them first. {1}', name, problem.message)) };
  const proved = await proveBySamples(uri, reading.value.profile, files);
  return { says: proved.flatMap((one) => provedInWords(name, one)).map(say) };
}
