import { DIAGNOSTICS } from '../../../shared-core/src/checks/index.js';
import {
  type JsonProblem,
  profileProblems,
  retrofitProblems,
  unreadConditions,
} from '../../../shared-core/src/workspace/index.js';
import type { Found } from './found.js';
import { type Disk, must, uriOf } from './load.js';

/** What is wrong with a profile or a retrofit, each with its place. */
export async function checkJson(
  { readText, workspace: { readProfile } }: Disk,
  name: string,
  kind: 'profiles' | 'retrofits',
): Promise<readonly Found[]> {
  const [uri, text] = [uriOf(name), await readText(name)];
  const ofProfile = async () => {
    const reading = must(await readProfile(uri));
    return [
      ...(await profileProblems(uri, reading, readProfile)),
      ...(await unreadConditions(uri, reading, readProfile)),
    ];
  };
  const problems = kind === 'profiles' ? await ofProfile() : await retrofitProblems(uri, text, readProfile);
  return problems.map((problem) => placed(text, problem)).sort((a, b) => a.row - b.row || a.start - b.start);
}

function placed(text: string, { code, span, message }: JsonProblem): Found {
  const [start, end] = [placeAt(text, span.start), placeAt(text, span.end)];
  return { code, severity: DIAGNOSTICS[code].severity, message, ...start, endRow: end.row, end: end.start };
}

function placeAt(text: string, offset: number): { readonly row: number; readonly start: number } {
  const lines = text.slice(0, offset).split(/\r\n|\r|\n/);
  return { row: lines.length - 1, start: (lines.at(-1) ?? '').length };
}
