import { checkDump, labelText, type Problem, phrase } from '../../../shared-core/src/index.js';
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
    const { dump, profile: status, backup, profilePath } = loaded;
    return { loaded, problems: checkDump(dump, status, backup, modulesOf(file, dump, profilePath)) };
  });
  progress(names.length, names.length);
  const all = checked.flatMap(({ problems }) => problems);
  const errors = all.filter(({ severity }) => severity === 'error').length;
  const warnings = all.filter(({ severity }) => severity === 'warning').length;
  const lines = checked.flatMap(({ loaded, problems }) =>
    problems.map(
      (problem) =>
        `${loaded.file}:${problem.row + 1}:${problem.start + 1}: ${problem.severity} ${problem.code}: ${say(problem.message)}`,
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
        file: loaded.file,
        notation: loaded.dump.notation.id,
        profile: loaded.profileFile ?? null,
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
