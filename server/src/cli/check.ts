import {
  checkDump,
  labelText,
  type Problem,
  phrase,
  statusOf,
  summaryOf,
  verdictOf,
} from '../../../shared-core/src/index.js';
import type { Call, Outcome } from './command.js';
import { Failure } from './failure.js';
import { expandFolders } from './files.js';
import { load, scan } from './load.js';
import { otherModulesAmong } from './otherModules.js';
import { say } from './say.js';

/** All problems of all files; folders are walked. */
export function check({ files, profile }: Call, progress: (done: number, of: number) => void): Outcome {
  const names = expandFolders(files);
  if (names.length === 0)
    throw new Failure(phrase('No dump was found there. Dumps are files with the ending ".cfgdump".'));
  const modulesOf = otherModulesAmong(names);
  const checked = names.map((file, index) => {
    progress(index, names.length);
    const loaded = scan(file, profile) ?? load(file, profile);
    const { dump, profilePath } = loaded;
    const whole = { ...loaded, modules: modulesOf(file, dump, profilePath) };
    const problems = checkDump(whole);
    return { loaded, name: file, problems, verdict: verdictOf(whole, problems) };
  });
  progress(names.length, names.length);
  const lines = checked.flatMap(({ loaded, problems }) =>
    problems.map(
      (problem) =>
        `${loaded.file}:${problem.row + 1}:${problem.start + 1}: ${problem.severity} ${problem.code}: ${say(problem.message)}`,
    ),
  );
  return {
    status: statusOf(checked),
    text: [...lines, ...summaryOf(checked).map((said) => say(said))].join('\n'),
    json: {
      files: checked.map(({ loaded, problems, verdict }) => ({
        file: loaded.file,
        notation: loaded.dump.notation.id,
        profile: loaded.profileFile ?? null,
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
