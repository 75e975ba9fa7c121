import {
  checkDump,
  headerValue,
  labelText,
  type Problem,
  phrase,
  statusOf,
  summaryOf,
  verdictOf,
} from '../../../shared-core/src/index.js';
import type { Call, Outcome } from './command.js';
import { Failure } from './failure.js';
import { openFiles } from './load.js';
import { say } from './say.js';

/** All problems of all files; folders are walked. */
export async function check(
  { files: given, profile }: Call,
  progress: (done: number, of: number) => void,
): Promise<Outcome> {
  const files = openFiles(given);
  const names = await files.expand(given);
  if (names.length === 0)
    throw new Failure(phrase('No dump was found there. Dumps are files with the ending ".cfgdump".'));
  const checked = [];
  for (const [index, name] of names.entries()) {
    progress(index, names.length);
    const loaded = await files.load(name, profile, 'needed');
    const problems = checkDump(loaded);
    checked.push({ loaded, name, problems, verdict: verdictOf(loaded, problems) });
  }
  progress(names.length, names.length);
  const lines = checked.flatMap(({ loaded, problems }) =>
    problems.map(
      (problem) =>
        `${loaded.name}:${problem.row + 1}:${problem.start + 1}: ${problem.severity} ${problem.code}: ${say(problem.message)}`,
    ),
  );
  return {
    status: statusOf(checked),
    text: [...lines, ...summaryOf(checked).map((said) => say(said))].join('\n'),
    json: {
      files: checked.map(({ loaded, problems, verdict }) => ({
        file: loaded.name,
        notation: loaded.dump.notation.id,
        profile: profile ?? headerValue(loaded.dump, 'profile') ?? null,
        unchecked: verdict.unchecked.map((said) => say(said)),
        problems: problems.map(toJson),
      })),
      errors: checked.reduce((sum, { verdict }) => sum + verdict.errors, 0),
      warnings: checked.reduce((sum, { verdict }) => sum + verdict.warnings, 0),
    },
  };
}

/** Lines and columns are counted from 1, columns in UTF-16 units, the end column exclusive. */
function toJson({ code, severity, message, label, row, start, end, expected, found }: Problem): object {
  return {
    code,
    severity,
    message: say(message),
    ...(label === undefined ? {} : { label: labelText(label) }),
    line: row + 1,
    column: start + 1,
    endLine: row + 1,
    endColumn: end + 1,
    ...(expected === undefined ? {} : { expected }),
    ...(found === undefined ? {} : { found }),
  };
}
