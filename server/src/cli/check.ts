import { listed, type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import {
  checkDump,
  shownProblems,
  statusOf,
  summaryOf,
  unreadInWords,
  type Verdict,
  verdictOf,
  verdictOfText,
  verdictOfUnreadable,
} from '../../../shared-core/src/checks/index.js';
import { labelText } from '../../../shared-core/src/format/index.js';
import { headerValue } from '../../../shared-core/src/model/index.js';
import { HEADERS_BESIDE, kindOf, writtenAs } from '../../../shared-core/src/workspace/index.js';
import { Failure } from '../files/failure.js';
import { checkJson } from './checkJson.js';
import { type Call, command, type Outcome } from './command.js';
import type { Found } from './found.js';
import { cutShortIn } from './leftPlans.js';
import type { Disk } from './load.js';
import { choice, FROM, PROFILE, PROFILES } from './options.js';
import { showProgress } from './progress.js';
import { annotations } from './reports/github.js';
import { junitReport } from './reports/junit.js';
import type { Reported } from './reports/report.js';
import { sarifLog } from './reports/sarif.js';
import { say } from './say.js';
import { version } from './version.js';

const FORMATS = ['text', 'json', 'sarif', 'github', 'junit'] as const;

const OPTIONS = {
  ...FROM,
  ...PROFILE,
  ...PROFILES,
  format: choice(
    FORMATS,
    phrase(
      'how the answer is written: for people, or for programs (SARIF 2.1.0, annotations of a workflow, JUnit XML)',
    ),
  ),
};

/** All problems of all files; folders are walked. */
export const check = command({
  name: 'check',
  arguments: 'FILE…',
  does: phrase('all problems of dumps, profiles and retrofits; folders are walked'),
  options: OPTIONS,
  exclusive: [
    ['json', 'format'],
    ['profile', 'profiles'],
  ],
  run: checkFiles,
});

interface Checked {
  readonly name: string;
  readonly notation: string | null;
  readonly profile: string | null;
  readonly problems: readonly Found[];
  readonly verdict: Verdict;
  /** In milliseconds. */
  readonly time: number;
}

async function checkFiles({
  files,
  profile,
  json,
  format = 'text',
  disk,
  halfPlans,
}: Call<typeof OPTIONS>): Promise<Outcome> {
  const names = await disk.expand(files, ['dumps', 'profiles', 'retrofits']);
  const read: Checked[] = [];
  for (const [index, name] of names.entries()) {
    showProgress(index, names.length);
    read.push(await checkOrSayWhyNot(disk, name, profile));
  }
  showProgress(names.length, names.length);
  // Where nothing at all can be read, a person gets the first reason and no account of it.
  const [first] = read;
  if (
    !json &&
    format === 'text' &&
    first?.verdict.why !== undefined &&
    read.every(({ verdict }) => verdict.why !== undefined)
  )
    throw new Failure(first.verdict.why);
  const cutShort = cutShortIn(
    disk,
    halfPlans(),
    read.map(({ name }) => name),
  );
  const checked = read.map((one) => {
    const { name, verdict } = one;
    return { ...one, verdict: { ...verdict, unchecked: [...verdict.unchecked, ...cutShort(name)] } };
  });
  const count = (of: (verdict: Verdict) => number) => checked.reduce((sum, { verdict }) => sum + of(verdict), 0);
  const report = REPORTS[format];
  return {
    status: statusOf(checked),
    ...(report && { document: { content: report(checked.map(reported)) } }),
    says: [
      ...checked.flatMap(({ name, problems }) => problems.map((problem) => inWords(name, problem))),
      ...summaryOf(checked),
    ],
    json: {
      files: checked.map(({ name, notation, profile: named, problems, verdict }) => ({
        file: name,
        notation,
        profile: named,
        ...(verdict.why !== undefined && { unread: say(verdict.why) }),
        unchecked: verdict.unchecked.map((said) => say(said)),
        guessed: verdict.guessed.map((said) => say(said)),
        problems: problems.map(toJson),
      })),
      errors: count(({ errors }) => errors),
      warnings: count(({ warnings }) => warnings),
      unread: checked.filter(({ verdict }) => verdict.isUnread).length,
    },
  };
}

/** What other programs get in place of sentences. */
const REPORTS: Readonly<Partial<Record<string, (files: readonly Reported[]) => string>>> = {
  sarif: (files) => `${JSON.stringify(sarifLog(files, version()), null, 2)}\n`,
  github: annotations,
  junit: (files) => junitReport(files, new Date()),
};

function reported(one: Checked): Reported {
  const { name, problems, verdict, time } = one;
  const unread = verdict.isUnread ? unreadInWords(one) : undefined;
  return { name, problems, unread, unchecked: verdict.unchecked, status: statusOf([one]), time: time / 1000 };
}

/** A file that cannot be read leaves the others checked. */
async function checkOrSayWhyNot(disk: Disk, name: string, profile: string | undefined): Promise<Checked> {
  const began = performance.now();
  const checked = await checkFile(disk, name, profile).catch((error: unknown) => {
    if (!(error instanceof Failure)) throw error;
    return { name, notation: null, profile: null, problems: [], verdict: verdictOfUnreadable(error.said) };
  });
  return { ...checked, time: performance.now() - began };
}

async function checkFile(disk: Disk, name: string, profile: string | undefined): Promise<Omit<Checked, 'time'>> {
  const kind = kindOf(name);
  if (kind === 'profiles' || kind === 'retrofits') {
    const problems = await checkJson(disk, name, kind);
    return { name, notation: null, profile: null, problems, verdict: verdictOfText(problems) };
  }
  const loaded = await disk.load(name, profile, 'needed');
  const problems = checkDump(loaded);
  return {
    name,
    notation: writtenAs(disk.codingOf(name), loaded.dump.notation.id),
    profile: profile ?? headerValue(loaded.dump, 'profile') ?? disk.chosenFor(name) ?? null,
    problems: placedBeside(name, shownProblems(problems), disk.codingOf(name)?.headersFrom),
    verdict: verdictOf(loaded, problems),
  };
}

/** Problems of headers that stand behind the rows of a dump are in the file beside it. */
function placedBeside(name: string, problems: readonly Found[], from: number | undefined): readonly Found[] {
  if (from === undefined) return problems;
  const file = `${name}${HEADERS_BESIDE}`;
  return problems.map((one) =>
    one.row < from
      ? one
      : { ...one, file, row: one.row - from, ...(one.endRow !== undefined && { endRow: one.endRow - from }) },
  );
}

function inWords(name: string, { file = name, row, start, severity, code, message }: Found): Phrase {
  const place = listed([file, String(row + 1), String(start + 1)], ':');
  return listed([place, listed([`${severity} ${code}`, message], ': ')], ': ');
}

/** Lines and columns are counted from 1, columns in UTF-16 units, the end column exclusive. */
function toJson({ file, code, severity, message, label, row, start, endRow = row, end, ...values }: Found): object {
  const { expected, found } = values;
  return {
    ...(file !== undefined && { file }),
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
