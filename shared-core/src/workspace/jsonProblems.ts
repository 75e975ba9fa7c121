import { type Phrase, phrase } from '../base/phrase.js';
import type { Result } from '../base/result.js';
import type { ProblemCode } from '../checks/diagnostics.js';
import { profilesAskedFor } from '../checks/otherModules.js';
import { checkRetrofit } from '../jobs/checkRetrofit.js';
import { readRetrofit } from '../jobs/readRetrofit.js';
import { foreignConditionProblems } from '../profile/conditions.js';
import { toldIn } from '../profile/extends.js';
import type { JsonSpan, ProfileProblem } from '../profile/json.js';
import type { Profile } from '../profile/profile.js';
import type { ProfileReading } from '../profile/readProfile.js';
import { isSaidOtherwise } from '../profile/readSeen.js';
import { resolveUri } from './uri.js';

/** Something wrong in a profile or a retrofit, or worth knowing, as the severity of its code says. */
export interface JsonProblem {
  readonly code: ProblemCode;
  readonly span: JsonSpan;
  /** Where it is in a profile that is extended; the span is then where that is named. */
  readonly there?: JsonSpan;
  readonly message: Phrase;
}

type ReadProfile = (file: string) => Promise<Result<ProfileReading>>;

/** What is wrong with a profile by itself, and with what its conditions say of other modules' profiles. */
export async function profileProblems(
  file: string,
  { profile, problems, chain }: ProfileReading,
  read: ReadProfile,
): Promise<readonly JsonProblem[]> {
  const others = await readingsOf(file, profilesAskedFor(profile), read);
  const at = (path: string) => {
    const reading = others.get(path);
    return reading?.ok ? reading.value : undefined;
  };
  // Half a profile lacks options that are written down all the same.
  const sound = (path: string) => (at(path)?.problems.length === 0 ? at(path)?.profile : undefined);
  return [...problems, ...toldIn(chain, foreignConditionProblems(profile, sound)), ...evidenceProblems(profile)];
}

/**
 * Where a profile says that an option is surer than anybody has seen, or less sure, and what was seen that does not count; what
 * it extends is told there.
 */
export function evidenceProblems({ options }: Profile): readonly JsonProblem[] {
  const found = new Map<number, JsonProblem>();
  for (const { title, several, confidence, seen } of options) {
    if (seen === undefined) continue;
    for (const { at, why } of seen.uncounted)
      if (at.file === undefined) found.set(at.start, { code: 'option-evidence', span: at, message: why });
    const span = seen.givenAt;
    if (span === undefined || span.file !== undefined || confidence === undefined) continue;
    const shown = seen.confidence;
    if (!isSaidOtherwise(confidence, shown)) continue;
    const message = phrase(
      '{0}: "confidence" says "{1}", and what "seen" lists makes it "{2}". Leave "confidence" out, or say in "evidence" why.',
      ...[several?.title ?? title, confidence, shown],
    );
    found.set(span.start, { code: 'option-evidence', span, message });
  }
  return [...found.values()];
}

/**
 * Conditions on options of a profile that cannot be read, so that nobody can ever tell whether they are met. Where a person
 * works on one module alone, that is no problem of its profile; of a whole library it is.
 */
export async function unreadConditions(
  file: string,
  { profile, chain }: ProfileReading,
  read: ReadProfile,
): Promise<readonly JsonProblem[]> {
  const others = await readingsOf(file, profilesAskedFor(profile), read);
  const problems = profile.options.flatMap(({ needs, excludes }) =>
    [...needs, ...excludes].flatMap(({ profile: path = '', source }): ProfileProblem | readonly [] => {
      const reading = others.get(path);
      if (reading === undefined || reading.ok) return [];
      const message = phrase(
        'The profile "{0}" cannot be read: {1}. Correct its path, or put it there.',
        ...[path, reading.why],
      );
      return { code: 'profile-invalid', span: source, message };
    }),
  );
  return toldIn(chain, problems);
}

type Readings = ReadonlyMap<string, Result<ProfileReading>>;

/** What is wrong with a retrofit by itself, and with what it wants of the profiles that it names. */
export async function retrofitProblems(file: string, text: string, read: ReadProfile): Promise<readonly JsonProblem[]> {
  const { retrofit, problems } = readRetrofit(text);
  if (retrofit === undefined) return problems;
  const readings = await readingsOf(
    file,
    retrofit.changes.map(({ profile }) => profile),
    read,
  );
  const profileOf = (path: string): Profile | undefined => {
    const reading = readings.get(path);
    return reading?.ok ? reading.value.profile : undefined;
  };
  const wanted = checkRetrofit(retrofit, profileOf).map((problem) => ({
    code: 'retrofit-invalid' as const,
    ...problem,
  }));
  return [...problems, ...wanted];
}

async function readingsOf(file: string, paths: readonly string[], read: ReadProfile): Promise<Readings> {
  const readings = await Promise.all(paths.map(async (path) => [path, await read(resolveUri(file, path))] as const));
  return new Map(readings);
}
