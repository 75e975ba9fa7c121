import { spawnSync } from 'node:child_process';
import { mkdirSync, readFileSync, symlinkSync, truncateSync, writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { type Dice, diceOf } from '../../support/dice.js';
import { FAMILY } from '../../support/family.js';
import { type Folder, makeFolder } from '../../support/folder.js';
import { type Area, failureOf } from '../area.js';
import { JOB, placed, unlikeBoth, WRITINGS } from './kills.js';

/** The program itself, in processes that are really killed, and with headers that lead to what is no file. */
export const processes: Area = {
  name: 'processes',
  share: 80,
  open: () => {
    const folder = makeFolder();
    return {
      run: async (seed) => {
        const dice = diceOf(seed);
        folder.clear();
        return failureOf(dice.once(2) ? reallyKilled(dice, folder) : ledAstray(dice, folder));
      },
      close: folder.remove,
    };
  },
};

const COMMAND_LINE = resolve('dist/cli.js');
const LONGEST = 20_000;

interface Ended {
  readonly status: number | null;
  readonly said: string;
}

function run(folder: Folder, words: readonly string[], killAt?: number): Ended {
  const preload = killAt === undefined ? [] : ['--require', resolve('test/attack/killAt.cjs')];
  const env = { ...process.env, LC_ALL: 'C', ...(killAt !== undefined && { COUNTERSUM_KILL: String(killAt) }) };
  const { status, stdout, stderr } = spawnSync(process.execPath, [...preload, COMMAND_LINE, ...words], {
    cwd: folder.path,
    env,
    encoding: 'utf8',
    timeout: LONGEST,
    input: '',
  });
  return { status, said: stdout + stderr };
}

function reallyKilled(dice: Dice, folder: Folder): readonly string[] {
  const words = dice.pick(WRITINGS);
  folder.write(JOB);
  const before = folder.files();
  const whole = run(folder, placed(folder, words));
  if (whole.status === 2 || whole.status === null) return [`${words.join(' ')}: ${whole.said}`];
  const done = folder.files();
  folder.clear();
  folder.write(JOB);
  // What the start of the program itself opens comes first.
  const at = dice.int(1, 90);
  run(folder, placed(folder, words), at);
  const said = [...unlikeBoth(folder, before, done, `killed at call ${at}`)];
  const next = run(folder, ['fix', FAMILY.body.workFile, '--write']);
  if (next.status === null || next.status === 2)
    said.push(`after a kill at call ${at} nothing can be written: ${next.said}`);
  const files = new Map([...folder.files()].filter(([name]) => !name.startsWith('.')));
  const isAs = (wanted: ReadonlyMap<string, string>) =>
    files.size === wanted.size && [...wanted].every(([name, text]) => files.get(name) === text);
  if (!isAs(before) && !isAs(done)) said.push(`after a kill at call ${at} half of it stays`);
  return said.length === 0 ? [] : [words.join(' '), ...said];
}

const NO_FILES = [
  ...['/dev/zero', '/dev/urandom', '/dev/stdin', '/dev/tty', '/dev/full', 'pipe', 'folder', 'loop', 'huge'],
  ...['//host.invalid/share/a.dump-profile.json', '\\\\host.invalid\\share\\a.dump-profile.json'],
  ...[
    'file://host.invalid/a',
    'http://host.invalid/a',
    `${'../'.repeat(60)}dev/zero`,
    '.',
    '..',
    '/',
    '~',
    'a\u0000b',
    'a\u001b[31mb',
  ],
  ...['%2e%2e%2fa', 'x'.repeat(5000), 'CON', 'a:b', '\u202etxt.a', '-', '--write'],
];

function ledAstray(dice: Dice, folder: Folder): readonly string[] {
  const header = dice.pick(['profile', 'backup']);
  const place = dice.pick(NO_FILES);
  const { workFile, work, profileFile, profile, backupFile, backup } = FAMILY.body;
  const text = work.replace(new RegExp(`@${header} .*`), () => `@${header} ${place}`);
  folder.write(
    new Map([
      [workFile, text],
      [profileFile, JSON.stringify(profile)],
      [backupFile, backup],
    ]),
  );
  mkdirSync(folder.of('folder'));
  symlinkSync('loop', folder.of('loop'));
  spawnSync('mkfifo', [folder.of('pipe')]);
  writeFileSync(folder.of('huge'), '');
  truncateSync(folder.of('huge'), 3 * 2 ** 30);
  const words = dice.pick([
    ['check', workFile],
    ['fix', workFile, '--write'],
    ['set', workFile, 'lamps=left', '--write'],
    ['restore', workFile, '--write'],
    ['card', backupFile, workFile],
    ['verify', backupFile, workFile],
  ]);
  const start = performance.now();
  const { status, said } = run(folder, words);
  const seconds = Math.round((performance.now() - start) / 1000);
  const problems = [
    ...(status === null ? [`did not end in ${seconds} s`] : []),
    ...(words[0] === 'check' && status === 0 ? ['check is good'] : []),
    ...(header === 'profile' && words.includes('--write') && status === 0 ? ['it wrote without a profile'] : []),
    ...(['\u001b', '\u0000', '\u202e'].some((character) => said.includes(character))
      ? ['control characters are printed as they are']
      : []),
    ...(/\bat .*\.(?:c?js|ts):\d+|node:internal/.test(said) ? [`a trace of the program: ${said.slice(0, 300)}`] : []),
    ...(header === 'profile' && readFileSync(folder.of(workFile), 'utf8') !== text
      ? ['the dump was changed without a profile']
      : []),
  ];
  return problems.length === 0
    ? []
    : [`@${header} ${JSON.stringify(place.slice(0, 60))}: ${words.join(' ')}`, ...problems];
}
