import type { Phrase } from '../base/phrase.js';
import type { Result } from '../base/result.js';
import type { ProblemCode } from '../checks/diagnostics.js';
import { profilesAskedFor } from '../checks/otherModules.js';
import { checkRetrofit } from '../jobs/checkRetrofit.js';
import { readRetrofit } from '../jobs/readRetrofit.js';
import { foreignConditionProblems } from '../profile/conditions.js';
import type { JsonSpan } from '../profile/json.js';
import type { Profile } from '../profile/profile.js';
import type { ProfileReading } from '../profile/readProfile.js';
import { resolveUri } from './uri.js';

/** Something wrong in a profile or a retrofit. */
export interface JsonProblem {
  readonly code: ProblemCode;
  readonly span: JsonSpan;
  readonly message: Phrase;
}

type ReadProfile = (file: string) => Promise<Result<ProfileReading>>;

/** What is wrong with a profile by itself, and with what its conditions say of other modules' profiles. */
export async function profileProblems(
  file: string,
  { profile, problems }: ProfileReading,
  read: ReadProfile,
): Promise<readonly JsonProblem[]> {
  const others = await readingsOf(file, profilesAskedFor(profile), read);
  // Half a profile lacks options that are written down all the same.
  const sound = (path: string) => (others.get(path)?.problems.length === 0 ? others.get(path)?.profile : undefined);
  return [...problems, ...foreignConditionProblems(profile, sound)];
}

/** What is wrong with a retrofit by itself, and with what it wants of the profiles that it names. */
export async function retrofitProblems(file: string, text: string, read: ReadProfile): Promise<readonly JsonProblem[]> {
  const { retrofit, problems } = readRetrofit(text);
  if (retrofit === undefined) return problems;
  const readings = await readingsOf(
    file,
    retrofit.changes.map(({ profile }) => profile),
    read,
  );
  const profileOf = (path: string): Profile | undefined => readings.get(path)?.profile;
  const wanted = checkRetrofit(retrofit, profileOf).map((problem) => ({
    code: 'retrofit-invalid' as const,
    ...problem,
  }));
  return [...problems, ...wanted];
}

async function readingsOf(
  file: string,
  paths: readonly string[],
  read: ReadProfile,
): Promise<ReadonlyMap<string, ProfileReading | undefined>> {
  const readings = await Promise.all(
    paths.map(async (path) => {
      const reading = await read(resolveUri(file, path));
      return [path, reading.ok ? reading.value : undefined] as const;
    }),
  );
  return new Map(readings);
}
