import {
  checkRetrofit,
  foreignConditionProblems,
  type JsonSpan,
  type Phrase,
  type ProfileReading,
  readProfile,
  readRetrofit,
  resolveUri,
} from '../../../shared-core/src/index.js';
import type { Found } from './found.js';
import { type Disk, uriOf } from './load.js';

/** What is wrong with a profile by itself, and with what it says of other modules' profiles. */
export async function checkProfile(disk: Disk, name: string): Promise<readonly Found[]> {
  const text = await disk.readText(name);
  const { profile, problems } = readProfile(text);
  const asked = [...profile.options].flatMap(({ needs, excludes }) =>
    [...needs, ...excludes].flatMap((condition) => condition.profile ?? []),
  );
  const others = await readingsBeside(disk, name, asked);
  const foreign = foreignConditionProblems(profile, (path) => {
    const other = others.get(path);
    // Half a profile does not have all options that are written down.
    return other?.problems.length === 0 ? other.profile : undefined;
  });
  return placed(text, [...problems, ...foreign]);
}

/** What is wrong with a retrofit by itself, and with what it wants of the profiles that it names. */
export async function checkRetrofitFile(disk: Disk, name: string): Promise<readonly Found[]> {
  const text = await disk.readText(name);
  const { retrofit, problems } = readRetrofit(text);
  if (retrofit === undefined) return placed(text, problems);
  const paths = retrofit.changes.map(({ profile }) => profile);
  const profiles = await readingsBeside(disk, name, paths);
  const wanted = checkRetrofit(retrofit, (path) => profiles.get(path)?.profile);
  return placed(text, [...problems, ...wanted.map((problem) => ({ code: 'retrofit-invalid', ...problem }))]);
}

/** The profiles beside a file that can be read, by the paths in which it names them. */
async function readingsBeside(
  disk: Disk,
  name: string,
  paths: readonly string[],
): Promise<ReadonlyMap<string, ProfileReading>> {
  const found = new Map<string, ProfileReading>();
  for (const path of new Set(paths)) {
    const reading = await disk.workspace.readProfile(resolveUri(uriOf(name), path));
    if (reading.ok) found.set(path, reading.value);
  }
  return found;
}

function placed(
  text: string,
  problems: readonly { readonly code: string; readonly span: JsonSpan; readonly message: Phrase }[],
): readonly Found[] {
  return problems
    .map(({ code, span, message }): Found => {
      const [start, end] = [placeAt(text, span.start), placeAt(text, span.end)];
      return { code, severity: 'error', message, ...start, endRow: end.row, end: end.start };
    })
    .sort((a, b) => a.row - b.row || a.start - b.start);
}

function placeAt(text: string, offset: number): { readonly row: number; readonly start: number } {
  const lines = text.slice(0, offset).split(/\r\n|\r|\n/);
  return { row: lines.length - 1, start: (lines.at(-1) ?? '').length };
}
