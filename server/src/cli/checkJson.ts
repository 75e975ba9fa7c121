import { dirname, resolve } from 'node:path';
import {
  checkRetrofit,
  foreignConditionProblems,
  type JsonSpan,
  type Phrase,
  type Profile,
  readProfile,
  readRetrofit,
} from '../../../shared-core/src/index.js';
import type { Disk } from './disk.js';
import type { Found } from './found.js';

/** What is wrong with a profile by itself, and with what it says of other modules' profiles. */
export function checkProfile(disk: Disk, file: string): readonly Found[] {
  const text = disk.readText(file);
  const { profile, problems } = readProfile(text);
  const others = foreignConditionProblems(profile, (path) => {
    const other = readingBeside(disk, file, path);
    // Half a profile lacks options that are written down all the same.
    return other?.problems.length === 0 ? other.profile : undefined;
  });
  return placed(text, [...problems, ...others]);
}

/** What is wrong with a retrofit by itself, and with what it wants of the profiles that it names. */
export function checkRetrofitFile(disk: Disk, file: string): readonly Found[] {
  const text = disk.readText(file);
  const { retrofit, problems } = readRetrofit(text);
  const profileOf = (path: string): Profile | undefined => readingBeside(disk, file, path)?.profile;
  const wanted = retrofit === undefined ? [] : checkRetrofit(retrofit, profileOf);
  return placed(text, [...problems, ...wanted.map((problem) => ({ code: 'retrofit-invalid', ...problem }))]);
}

function readingBeside(disk: Disk, file: string, path: string): ReturnType<typeof readProfile> | undefined {
  const text = disk.readTextIfThere(resolve(dirname(file), path));
  return text === undefined ? undefined : readProfile(text);
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
