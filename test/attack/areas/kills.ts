import { type Fs, type Machine, thisMachine } from '../../../server/src/files/machine.js';
import { type Dice, diceOf } from '../../support/dice.js';
import { FAMILY, FAMILY_RETROFIT, familyFiles } from '../../support/family.js';
import { type Folder, makeFolder } from '../../support/folder.js';
import { runCommand } from '../../support/inProcess.js';
import { type Area, failureOf } from '../area.js';

/** Runs that end at any call of the system, as killed ones do: what they leave is whole, and the next run tidies up. */
export const kills: Area = {
  name: 'kills',
  share: 400,
  open: () => {
    const folder = makeFolder();
    return {
      run: async (seed) => {
        const dice = diceOf(seed);
        const writing = dice.pick(WRITINGS);
        return failureOf(await killed(dice, folder, writing));
      },
      close: folder.remove,
    };
  },
};

/** The files that a job is about, with the retrofit. */
export const JOB: ReadonlyMap<string, string> = new Map([
  ...familyFiles([FAMILY.body, FAMILY.cluster, FAMILY.control]),
  // As found, so that there is something to plan.
  ...[FAMILY.body, FAMILY.cluster].map(({ workFile, work, backup }) => {
    const body = backup.slice(backup.indexOf('\n\n'));
    return [workFile, work.slice(0, work.indexOf('\n\n')) + body] as const;
  }),
  ['job.retrofit.json', JSON.stringify(FAMILY_RETROFIT)],
]);

/** Commands that write: one file, several, a new one. */
export const WRITINGS: readonly (readonly string[])[] = [
  ['plan', 'job.retrofit.json', '--write'],
  ['plan', 'job.retrofit.json', '--write'],
  ['set', FAMILY.body.workFile, 'seat-heating=front', '--write'],
  ['fix', FAMILY.body.workFile, '--out', 'new.cfgdump'],
  ['convert', FAMILY.control.workFile, '--to', 'dump-text', '--out', 'new.cfgdump'],
];

/** The words of a command with its files where they are. */
export function placed(folder: Folder, words: readonly string[]): readonly string[] {
  return words.map((word) => (JOB.has(word) || word === 'new.cfgdump' ? folder.of(word) : word));
}

async function killed(dice: Dice, folder: Folder, words: readonly string[]): Promise<readonly string[]> {
  const [before, done, calls] = await asItShouldBe(folder, words);
  // Between two renames there is little else; there most can go wrong.
  const turns = calls.flatMap((name, i) => (/^(?:rename|unlink)Sync$/.test(name) ? [i + 1, i + 2] : []));
  const at = dice.once(2) ? dice.pick(turns) : dice.int(1, calls.length);
  begin(folder);
  await runAndDie(folder, words, at, FIRST);
  const said = [...unlikeBoth(folder, before, done, `killed at call ${at}`)];
  const left = folder.files();
  const isHalf = !isAs(visible(folder), before) && !isAs(visible(folder), done);
  const look = await runCommand(['check', folder.of(FAMILY.body.workFile)], sound());
  if (look.status === 2) said.push(`killed at call ${at}: nothing can be checked any more: ${look.notes}`);
  if (isHalf && (look.status === 0 || /all good/.test(look.text)))
    said.push(`killed at call ${at}: half of it is done, and all is called good`);
  if (!isAs(folder.files(), left)) said.push(`killed at call ${at}: a look at it changes files`);
  // The next run may be killed as well.
  if (dice.once(3)) {
    await runAndDie(folder, ['fix', FAMILY.body.workFile, '--write'], dice.int(1, 60), SECOND);
    said.push(...unlikeBoth(folder, before, done, `killed at call ${at}, and tidying up as well`));
  }
  const next = await runCommand(['fix', folder.of(FAMILY.body.workFile), '--write'], sound());
  if (next.status === 2) said.push(`killed at call ${at}: nothing can be written any more: ${next.notes}`);
  const files = visible(folder);
  if (!isAs(files, before) && !isAs(files, done))
    said.push(`killed at call ${at}: half of it stays after the next run`);
  const again = await runCommand(placed(folder, words), sound());
  const after = folder.files();
  const rest = [...after.keys()].filter((name) => name.startsWith('.'));
  if (again.status !== 2 && !isAs(visible(folder), done))
    said.push(`killed at call ${at}: done again it is something else`);
  if (again.status !== 2 && rest.length > 0) said.push(`killed at call ${at}: ${rest.join()} stays for ever`);
  return said.length === 0 ? [] : [words.join(' '), ...said];
}

/** What the files are before a command and after it, and the calls of the system that it takes. */
async function asItShouldBe(
  folder: Folder,
  words: readonly string[],
): Promise<readonly [ReadonlyMap<string, string>, ReadonlyMap<string, string>, readonly string[]]> {
  begin(folder);
  const before = folder.files();
  const calls: string[] = [];
  const { status, notes } = await runCommand(placed(folder, words), {
    ...thisMachine(),
    fs: counted((name) => {
      calls.push(name);
      return false;
    }),
  });
  if (status === 2) throw new Error(`${words.join(' ')}: ${notes}`);
  return [before, folder.files(), calls];
}

function begin(folder: Folder): void {
  folder.clear();
  folder.write(JOB);
}

/** Numbers of the processes that are killed, one after the other. */
const [FIRST, SECOND] = [999_999_901, 999_999_902];

/** A machine on which the runs that were killed are known to be dead. */
function sound(): Machine {
  const machine = thisMachine();
  return { ...machine, isAlive: (pid) => pid !== FIRST && pid !== SECOND && machine.isAlive(pid) };
}

async function runAndDie(folder: Folder, words: readonly string[], at: number, own: number): Promise<void> {
  let left = at;
  const machine = {
    ...thisMachine(),
    pid: own,
    isAlive: (pid: number) => pid === own,
    fs: counted(() => --left <= 0),
  };
  // Whatever it tries after its death fails too.
  await runCommand(placed(folder, words), machine).catch(() => {});
}

/** The system, with calls that fail once `isDead` says so; of a text that was being written half is there. */
function counted(isDead: (name: string) => boolean): Fs {
  let isHalved = false;
  return new Proxy(thisMachine().fs, {
    get: (fs, name) => {
      const call: unknown = Reflect.get(fs, name);
      if (typeof call !== 'function' || typeof name !== 'string') return call;
      return (...args: readonly unknown[]): unknown => {
        if (!isDead(name)) return Reflect.apply(call, fs, args);
        const [handle, bytes] = args;
        if (name === 'writeSync' && !isHalved && typeof handle === 'number' && bytes instanceof Uint8Array)
          fs.writeSync(handle, bytes.subarray(0, bytes.length >> 1));
        isHalved = true;
        throw new Error('killed');
      };
    },
  });
}

function visible(folder: Folder): ReadonlyMap<string, string> {
  return new Map([...folder.files()].filter(([name]) => !name.startsWith('.')));
}

function isAs(files: ReadonlyMap<string, string>, wanted: ReadonlyMap<string, string>): boolean {
  return files.size === wanted.size && [...wanted].every(([name, text]) => files.get(name) === text);
}

/** Files that are neither as they were nor as they are to be. */
export function unlikeBoth(
  folder: Folder,
  before: ReadonlyMap<string, string>,
  done: ReadonlyMap<string, string>,
  when: string,
): readonly string[] {
  return [...new Set([...before.keys(), ...done.keys(), ...visible(folder).keys()])].flatMap((name) => {
    const text = folder.files().get(name);
    return text === before.get(name) || text === done.get(name)
      ? []
      : [`${when}: ${name} is neither as it was nor as planned`];
  });
}
