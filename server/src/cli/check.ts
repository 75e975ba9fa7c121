import {
  checkDump,
  type Dump,
  kindOf,
  labelText,
  listed,
  type Phrase,
  phrase,
} from '../../../shared-core/src/index.js';
import { checkProfile, checkRetrofitFile } from './checkJson.js';
import { type Call, command, type Outcome } from './command.js';
import { type Disk, expandFolders } from './disk.js';
import type { Found } from './found.js';
import { load, scan } from './load.js';
import { PROFILE } from './options.js';
import { type FindModules, otherModulesAmong } from './otherModules.js';
import { showProgress } from './print.js';
import { say } from './say.js';

/** All problems of all files; folders are walked. */
export const check = command({
  name: 'check',
  arguments: 'FILE…',
  does: phrase('all problems of dumps, profiles and retrofits; folders are walked'),
  options: PROFILE,
  run: checkFiles,
});

interface Checked {
  readonly file: string;
  readonly notation: string | null;
  readonly profile: string | null;
  /** Whether its records were read, and whether a profile said what to check; a profile and a retrofit need neither. */
  readonly read: boolean;
  readonly explained: boolean;
  readonly problems: readonly Found[];
}

function checkFiles({ files, profile, disk }: Call<typeof PROFILE>): Outcome {
  const names = expandFolders(files, ['dumps', 'profiles', 'retrofits']);
  const modulesOf = otherModulesAmong(disk, names);
  const checked = names.map((file, index) => {
    showProgress(index, names.length);
    return checkFile(disk, file, profile, modulesOf);
  });
  showProgress(names.length, names.length);
  const all = checked.flatMap(({ problems }) => problems);
  const errors = all.filter(({ severity }) => severity === 'error').length;
  const warnings = all.filter(({ severity }) => severity === 'warning').length;
  const unread = checked.filter(({ read }) => !read);
  return {
    status: unread.length > 0 ? 2 : errors + warnings > 0 ? 1 : 0,
    says: [
      ...checked.flatMap(({ file, problems }) => problems.map((problem) => inWords(file, problem))),
      ...(unread.length > 0 ? [] : [summary(checked, errors, warnings)]),
    ],
    notes: unread.map(({ file }) => phrase('{0}: not one record was read, so nothing was checked.', file)),
    json: {
      files: checked.map(({ file, notation, profile: named, problems }) => {
        return { file, notation, profile: named, problems: problems.map(toJson) };
      }),
      errors,
      warnings,
    },
  };
}

function checkFile(disk: Disk, file: string, profile: string | undefined, modulesOf: FindModules): Checked {
  const kind = kindOf(file);
  if (kind === 'profiles' || kind === 'retrofits') {
    const problems = kind === 'profiles' ? checkProfile(disk, file) : checkRetrofitFile(disk, file);
    return { file, notation: null, profile: null, read: true, explained: true, problems };
  }
  const scanned = scan(disk, file, profile);
  const { dump, profile: status, backup, ...loaded } = scanned ?? load(disk, file, profile);
  return {
    file,
    notation: dump.notation.id,
    profile: loaded.profileFile ?? null,
    // The records of a scanned image are not among its rows where nothing is wrong with them.
    read:
      hasRecord(dump) ||
      (scanned !== undefined && (dump.rows.length > FEW || hasRecord(load(disk, file, profile).dump))),
    explained: status.kind === 'read',
    problems: checkDump(dump, status, backup, modulesOf(file, dump, loaded.profilePath)),
  };
}

/** Files of fewer lines are read again, to be sure that they are not empty. */
const FEW = 1000;

function hasRecord({ rows }: Dump): boolean {
  return rows.some(({ kind }) => kind === 'record' || kind === 'broken');
}

function summary(checked: readonly Checked[], errors: number, warnings: number): Phrase {
  if (errors + warnings > 0) return phrase('Errors: {0}, warnings: {1}', errors, warnings);
  const unexplained = checked.filter(({ explained }) => !explained).length;
  if (unexplained === 0) return phrase('{0} checked, all good', checked.length);
  return phrase(
    '{0} checked, no problem found. No profile explains {1} of them, so no sum was checked there but those of records.',
    checked.length,
    unexplained,
  );
}

function inWords(file: string, { row, start, severity, code, message }: Found): Phrase {
  const place = listed([file, String(row + 1), String(start + 1)], ':');
  return listed([place, listed([`${severity} ${code}`, message], ': ')], ': ');
}

/** Lines and columns are counted from 1, columns in UTF-16 units, the end column exclusive. */
function toJson({ code, severity, message, label, row, start, endRow = row, end, expected, found }: Found): object {
  return {
    code,
    severity,
    message: say(message),
    ...(label === undefined ? {} : { label: labelText(label) }),
    line: row + 1,
    column: start + 1,
    endLine: endRow + 1,
    endColumn: end + 1,
    ...(expected === undefined ? {} : { expected }),
    ...(found === undefined ? {} : { found }),
  };
}
