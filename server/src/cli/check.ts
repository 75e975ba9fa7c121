import { headerValue, labelText, type Problem, phrase, problemsOf } from '../../../shared-core/src/index.js';
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
    checked.push({ loaded, problems: problemsOf(loaded) });
  }
  progress(names.length, names.length);
  const all = checked.flatMap(({ problems }) => problems);
  const errors = all.filter(({ severity }) => severity === 'error').length;
  const warnings = all.filter(({ severity }) => severity === 'warning').length;
  const lines = checked.flatMap(({ loaded, problems }) =>
    problems.map(
      (problem) =>
        `${loaded.name}:${problem.row + 1}:${problem.start + 1}: ${problem.severity} ${problem.code}: ${say(problem.message)}`,
    ),
  );
  const summary =
    errors + warnings === 0
      ? phrase('{0} checked, all good', names.length)
      : phrase('Errors: {0}, warnings: {1}', errors, warnings);
  return {
    status: errors + warnings === 0 ? 0 : 1,
    text: [...lines, say(summary)].join('\n'),
    json: {
      files: checked.map(({ loaded, problems }) => ({
        file: loaded.name,
        notation: loaded.dump.notation.id,
        profile: profile ?? headerValue(loaded.dump, 'profile') ?? null,
        problems: problems.map(toJson),
      })),
      errors,
      warnings,
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
