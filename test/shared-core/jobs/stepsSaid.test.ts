// What the steps of a job say and lead to in the odd folders: each sentence is true there, and no step is done too early.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { finish, phrase, say } from '../../../shared-core/src/base/index.js';
import { type JobInput, jobSteps } from '../../../shared-core/src/jobs/index.js';
import type { StepId } from '../../../shared-core/src/jobs/steps/step.js';
import { demoFile } from '../../support/demo.js';
import {
  at,
  BACK,
  CARD,
  cardOf,
  DONE,
  type Files,
  FOUND,
  inputOf,
  jobsIn,
  others,
  PLANNED,
  PROFILE,
  READ,
  RETROFIT,
  stepsIn,
  UNCHANGED,
} from '../../support/jobFolder.js';

const OWN = 'rear-body.cfgdump';
const BACKUP = 'rear-body.as-found.cfgdump';
const READ_BACK = 'rear-body.read-back.cfgdump';
const PROFILE_FILE = 'rear-body.dump-profile.json';
const PROFILE_TEXT = demoFile(PROFILE_FILE);

/** One step of the module of a file, as it says and leads on. */
async function step(files: Files, id: StepId, unsaved: readonly string[] = [], own = OWN): Promise<string> {
  return said(finish(jobSteps(await inputOf(files, unsaved))).vehicles, id, own);
}

function said(jobs: Awaited<ReturnType<typeof jobsIn>>, id: StepId, own: string): string {
  const module = jobs.flatMap(({ modules }) => modules).find(({ files }) => files.some((file) => file.endsWith(own)));
  const found = module?.steps.find((one) => one.id === id);
  assert.ok(found, `${own} has no step ${id}`);
  const action = found.action === undefined ? '' : ` [${found.action.does} ${found.action.file.split('/').at(-1)}]`;
  return `${found.isDone ? 'done' : 'open'}: ${say(found.says)}${action}`;
}

const without = (text: string, ...headers: readonly string[]) =>
  text.replace(new RegExp(`^@(?:${headers.join('|')}) .*\n`, 'gm'), '');
const nameless = (text: string) => without(text, 'vin', 'vehicle');
const otherCar = (text: string, digit = '9') =>
  text.replaceAll('2041\n', `204${digit}\n`).replace('418\n', `41${digit}\n`);

describe('the step of the dump that is brought in', () => {
  it('is done by a VIN alone, and by what people call the vehicle', async () => {
    for (const header of ['vin', 'vehicle'])
      assert.match(
        await step({ ...PROFILE, 'a.cfgdump': without(READ, header) }, 'broughtIn', [], 'a.cfgdump'),
        /^done/,
      );
  });

  it('is open for a text that is in no file yet, and for no other one', async () => {
    const input = await inputOf({ ...PROFILE, 'a.cfgdump': READ });
    const as = (file: string, isSaved: boolean): JobInput => ({
      ...input,
      dumps: input.dumps.map((one) => ({ ...one, file, name: 'Untitled-1' })),
      isSaved: (other) => isSaved || other !== file,
    });
    const of = (now: JobInput) => said(finish(jobSteps(now)).vehicles, 'broughtIn', 'cfgdump');
    assert.equal(of(as('untitled:a.cfgdump', false)), 'open: Untitled-1 is not saved yet. [save untitled:a.cfgdump]');
    assert.match(of(as('untitled:a.cfgdump', true)), /^done/);
    assert.match(of(as('file:///untitled:a.cfgdump', false)), /^done/);
    assert.equal(
      of(as('file:///downloads/a.cfgdump', true)),
      'done: Untitled-1 is in no open folder: its job is here only while it or a file beside it is open.',
    );
    assert.equal(of(as(at('a.cfgdump'), true)), 'done: Untitled-1');
  });

  it('asks for what a text without a place for headers is of, as that goes into the file beside it', async () => {
    const view = '00000000: 1122 3344 5566 7788 99aa bbcc ddee ff00  ."3DUfw.........\n';
    assert.match(
      await step({ 'a.xxd': view }, 'broughtIn', [], 'a.xxd'),
      /^open: a\.xxd does not say of which vehicle it is\. \[describe a\.xxd\]$/,
    );
  });

  it('leads of several dumps to the one that does not say when it was read, never to the one in work', async () => {
    const undated = without(BACK, 'taken');
    assert.match(await step({ ...DONE, 'z.cfgdump': undated }, 'broughtIn'), /\[describe z\.cfgdump\]$/);
    const two = { ...PROFILE, 'a.cfgdump': READ, 'z.cfgdump': undated };
    assert.match(await step(two, 'broughtIn', [], 'a.cfgdump'), /\[describe z\.cfgdump\]$/);
  });
});

describe('the step of the sums', () => {
  it('is open for a dump of which no record was read', async () => {
    const unread = `${READ.slice(0, READ.indexOf(' 1: '))}what was read\n`;
    assert.match(
      await step({ ...PROFILE, 'a.cfgdump': unread }, 'sums', [], 'a.cfgdump'),
      /^open: (?:a\.cfgdump was not read whole: |).+ \[showProblems a\.cfgdump\]$/,
    );
  });

  it('says which sums are only a guess', async () => {
    const guessed = (part: 'totals' | 'lineSum') => {
      const profile = JSON.parse(PROFILE_TEXT);
      const { totals, lineSum } = profile;
      Object.assign(part === 'lineSum' ? lineSum : totals[0], { confidence: 'guess' });
      return { [PROFILE_FILE]: JSON.stringify(profile), 'a.cfgdump': READ };
    };
    const said = (part: 'totals' | 'lineSum') => step(guessed(part), 'sums', [], 'a.cfgdump');
    assert.equal(
      await said('totals'),
      'done: Profile: Rear body module (demo); file sum unconfirmed: a dump of another car, with another value, confirms it [bringIn a.cfgdump]',
    );
    assert.equal(await said('lineSum'), 'done: Profile: Rear body module (demo); line sums unconfirmed');
  });

  it('calls a profile without a title by its file, in whatever folder it lies', async () => {
    const { title, ...untitled } = JSON.parse(PROFILE_TEXT);
    void title;
    const files = {
      [`p/${PROFILE_FILE}`]: JSON.stringify(untitled),
      'a.cfgdump': READ.replace('@profile ', '@profile p/'),
    };
    assert.equal(await step(files, 'sums', [], 'a.cfgdump'), `done: Profile: ${PROFILE_FILE}`);
    assert.match(
      await step(files, 'sums', [`p/${PROFILE_FILE}`], 'a.cfgdump'),
      /^open: rear-body\.dump-profile\.json is not saved yet\. \[save rear/,
    );
  });
});

describe('the step of the backup', () => {
  it('says how a reading that names none is to a sealed backup that is here, whose time it may have wrong', async () => {
    const said = (taken: string) =>
      step({ ...PROFILE, [BACKUP]: FOUND, [READ_BACK]: BACK.replace(/^@taken.*/m, taken) }, 'backup', [], READ_BACK);
    assert.equal(
      await said('@taken 2026-03-02T08:02:00Z'),
      'open: rear-body.read-back.cfgdump is dated before the sealed backup. Its "@taken" is 2026-03-02 08:02 UTC, that of rear-body.as-found.cfgdump is 2026-03-02 09:14 UTC: correct it if it is wrong; otherwise make a backup of this dump too. [open rear-body.read-back.cfgdump]',
    );
    assert.equal(
      await said('@taken 2026-03-02T11:02:00Z'),
      'open: rear-body.read-back.cfgdump names no backup: make one. The sealed rear-body.as-found.cfgdump was read before it. [makeBackup rear-body.read-back.cfgdump]',
    );
    assert.equal(
      await said('@taken 2026-03-02'),
      'open: rear-body.read-back.cfgdump names no backup. Nobody can tell whether rear-body.as-found.cfgdump is one of it: "@taken" is "2026-03-02" in rear-body.read-back.cfgdump and "2026-03-02T09:14:00Z" in rear-body.as-found.cfgdump, which does not tell which of them was read later. [makeBackup rear-body.read-back.cfgdump]',
    );
  });

  it('calls it by its file, and proves by it, where it lies outside of the folders that are open', async () => {
    const planned = PLANNED.replace('@backup ', '@backup ../before/');
    const files = {
      ...others(DONE, BACKUP),
      [OWN]: planned,
      'x.job-card.md': cardOf([[FOUND, planned]]),
      [`file:///before/${BACKUP}`]: FOUND,
      [`file:///before/${PROFILE_FILE}`]: PROFILE_TEXT,
    };
    const steps = await stepsIn(files);
    assert.equal(steps[2], `done backup: ${BACKUP}`);
    assert.match(steps[7] ?? '', /^done verified: Written: /);
    assert.match(steps[8] ?? '', /its backup ".*" is not among the dumps of this module here/);
  });

  it('holds a backup that names no profile against the dump by that of the dump', async () => {
    const found = without(FOUND, 'profile');
    const files = { ...DONE, [BACKUP]: found, 'x.job-card.md': cardOf([[found, PLANNED]]) };
    const steps = await stepsIn(files);
    assert.equal(steps.filter((line) => line.startsWith('done')).length, 8, steps.join('\n'));
    assert.deepEqual(
      (await jobsIn(files))[0]?.modules.map((one) => one.files.map((file) => file.split('/').at(-1))),
      [[BACKUP, READ_BACK, OWN]],
    );
  });
});

describe('the step of the change', () => {
  it('is done by two retrofits that ask for different options', async () => {
    const tailgate = RETROFIT['socket.retrofit.json']
      .replace('trailer-socket', 'tailgate')
      .replace('13-pin', 'by hand');
    assert.match(await step({ ...DONE, ...RETROFIT, 'z.retrofit.json': tailgate }, 'change'), /^done/);
  });

  it('is called after the retrofit that changes the module, where there is one', async () => {
    const titleIn = async (files: Files) =>
      (await jobsIn(files)).map(({ modules }) =>
        modules.map(({ steps }) => say(steps.find(({ id }) => id === 'change')?.title ?? phrase(''))),
      );
    const other = { 'z.retrofit.json': RETROFIT['socket.retrofit.json'].replace('rear-body', 'cluster') };
    assert.deepEqual(await titleIn({ ...DONE, ...RETROFIT }), [['Retrofit set']]);
    assert.deepEqual(await titleIn({ ...DONE, ...other }), [['Option set']]);
    assert.deepEqual(await titleIn({ ...PROFILE, ...RETROFIT, [BACKUP]: FOUND }), [['Option set']]);
  });

  it('counts the changed bytes where no option changed', async () => {
    const changed = UNCHANGED.replace('7F 7F 08 58  00 00 | 5F', '7F 7F 08 59  00 00 | 60');
    assert.equal(
      await step({ ...others(DONE, READ_BACK), [OWN]: changed }, 'change'),
      'done: Changed bytes: 2 [restore rear-body.cfgdump]',
    );
  });
});

describe('the step of what is right', () => {
  it('waits where nothing is set, and is open before that for whatever the check found', async () => {
    const right = (text: string) => step({ ...PROFILE, 'a.cfgdump': text }, 'right', [], 'a.cfgdump');
    assert.equal(await right(READ), 'open: Waits until something is set.');
    const oneSum = READ.replace('00 FF | 88', '00 FF | 89');
    assert.match(
      await right(oneSum),
      /^open: Line 4: its sum is 89(?!.*Open in all).* \[correctChecksums a\.cfgdump\]$/,
    );
    assert.match(
      await right(oneSum.replace('| 97', '| 98')),
      /^open: .*Open in all: 2\. \[correctChecksums a\.cfgdump\]$/,
    );
    assert.match(await right(oneSum.replace(/^ 9:.*\n/m, '')), /Open in all: \d+\. \[showProblems a\.cfgdump\]$/);
    assert.match(await right(''), /^open: a\.cfgdump is not good yet\. \[showProblems a\.cfgdump\]$/);
    const untotalled = READ.replace(/^total.*\n/m, '');
    const silent = { ...JSON.parse(PROFILE_TEXT), totals: [], lineSum: undefined, balance: [] };
    assert.match(
      await step({ [PROFILE_FILE]: JSON.stringify(silent), 'a.cfgdump': untotalled }, 'right', [], 'a.cfgdump'),
      /^open: its profile does not say how its lines are summed/,
    );
  });

  it('leads to the comparison where no problem shows what is in the way', async () => {
    const changed = PLANNED.replace('7F 7F 08 58  00 00 | 5F', '7F 7F 08 59  00 00 | 60').replace(
      '5D C4 | D4',
      '5D C3 | D3',
    );
    assert.match(
      await step({ ...DONE, [OWN]: changed }, 'right'),
      /^open: .*nothing in the profile explains the change of line 7.*\[compareWithBackup rear-body\.cfgdump\]$/,
    );
    assert.match(
      await step({ ...others(DONE, READ_BACK), [OWN]: UNCHANGED }, 'right'),
      /^open: rear-body\.cfgdump: nothing is changed\. \[compareWithBackup/,
    );
  });

  it('leads to the problems where one of them is more than a sum', async () => {
    const unfit = PLANNED.replace('7F 05 0C', '7F 0D 0C');
    assert.match(await step({ ...DONE, [OWN]: unfit }, 'right'), /\[showProblems rear-body\.cfgdump\]$/);
  });
});

describe('the step of the card', () => {
  it('is done by a card of several modules, whichever of them it is', async () => {
    const one = [otherCar(FOUND), otherCar(PLANNED)] as const;
    for (const modules of [
      [one, [FOUND, PLANNED]],
      [[FOUND, PLANNED], one],
    ] as const)
      assert.match(await step({ ...DONE, 'x.job-card.md': cardOf(modules) }, 'card'), /^done: x\.job-card\.md/);
  });

  it('asks to save the one that says nothing is open, before another that does', async () => {
    const listing = CARD['x.job-card.md'].replace('## Before', '## Do not write yet\n\n- odd\n\n## Before');
    const files = { ...DONE, 'x.job-card.md': listing, 'y.job-card.md': CARD['x.job-card.md'] };
    assert.match(await step(files, 'card', ['y.job-card.md']), /^open: y\.job-card\.md is not saved yet\. \[save y/);
  });

  it('is open while anything before it is, and says that there is a card', async () => {
    const said = /^open: x\.job-card\.md is of these dumps, which are not all right yet\. \[jobCard rear-body/;
    for (const unsaved of [OWN, PROFILE_FILE, BACKUP]) assert.match(await step(DONE, 'card', [unsaved]), said);
    const bare = { ...DONE, [OWN]: nameless(PLANNED), [BACKUP]: nameless(FOUND), [READ_BACK]: nameless(BACK) };
    const files = { ...bare, 'x.job-card.md': cardOf([[bare[BACKUP], bare[OWN]]]) };
    assert.match(await step(files, 'card'), said);
    assert.match(await step(files, 'verified'), /^open/);
  });
});

describe('the step of the reading', () => {
  const WRITE = /^open: Write the module as the card says\./;

  it('asks for what is written to be read, whatever is brought in but a reading after the backup', async () => {
    assert.match(await step({ 'a.cfgdump': '' }, 'readBack', [], 'a.cfgdump'), WRITE);
    const odd = `${BACK.slice(0, BACK.indexOf(' 1: '))}what was read\n`;
    assert.match(await step({ ...DONE, [READ_BACK]: odd }, 'readBack'), WRITE);
    const undated = { ...DONE, [BACKUP]: without(FOUND, 'taken') };
    assert.match(
      await step(undated, 'readBack'),
      /^open: "@taken" is missing in rear-body\.as-found\.cfgdump\. \[open/,
    );
    assert.match(await step(others(undated, READ_BACK), 'readBack'), WRITE);
    // A dump that names no backup is no reading of itself.
    const alone = { ...PROFILE, [BACKUP]: undated[BACKUP], 'z.cfgdump': without(READ, 'taken') };
    assert.match(await step(alone, 'readBack', [], 'z.cfgdump'), WRITE);
  });

  it('names what cannot count because of its time, which may be wrong; not one that says what the backup says', async () => {
    const early = { ...DONE, [READ_BACK]: BACK.replace('T11:02', 'T08:02') };
    assert.equal(
      await step(early, 'readBack'),
      'open: rear-body.read-back.cfgdump does not count as read back: it was read at 2026-03-02 08:02 UTC by its "@taken", before the backup (2026-03-02 09:14 UTC). Correct that time if it is wrong; otherwise write the module, read it again and bring in what was read. [bringBack rear-body.cfgdump]',
    );
    const readTwice = { ...DONE, [READ_BACK]: READ.replace(/^@taken.*/m, '@taken 2026-03-01T08:02:00Z') };
    assert.match(await step(readTwice, 'readBack'), WRITE);
  });

  it('says where a reading cannot be ordered: after the backup at the step of the reading, beside another one where it is verified', async () => {
    const asBackup = { ...DONE, [READ_BACK]: BACK.replace(/^@taken.*/m, '@taken 2026-03-02T09:14Z') };
    assert.equal(
      await step(asBackup, 'readBack'),
      'open: rear-body.read-back.cfgdump does not count as read back: "@taken" is "2026-03-02T09:14Z" in rear-body.read-back.cfgdump and "2026-03-02T09:14:00Z" in rear-body.as-found.cfgdump, which does not tell which of them was read later. [bringBack rear-body.cfgdump]',
    );
    // What holds what the backup holds may be a second reading before the work.
    const readTwice = { ...DONE, [READ_BACK]: READ.replace(/^@taken.*/m, '@taken 2026-03-02T09:14Z') };
    assert.match(await step(readTwice, 'readBack'), WRITE);
    const second = READ.replace(/^@taken.*/m, '@taken 2026-03-02T11:02:00Z');
    assert.match(
      await step({ ...DONE, 'second.cfgdump': second }, 'verified'),
      /^open: Written: rear-body\.read-back\.cfgdump verified it, but second\.cfgdump differs from it and cannot be ordered: .* was read later\. Read the module once more and verify that, or correct the time if it is wrong\. \[bringBack rear-body\.cfgdump\]$/,
    );
    // No later reading outdates one that is to come.
    const toCome = READ.replace(/^@taken.*/m, '@taken 2101-04-11');
    assert.match(
      await step({ ...DONE, 'second.cfgdump': toCome }, 'verified'),
      /cannot be ordered: .* or the clock of this computer\. \[open second\.cfgdump\]$/,
    );
    const later = second.replace('T11:02', 'T11:03');
    assert.doesNotMatch(await step({ ...DONE, 'second.cfgdump': later }, 'verified'), /cannot be ordered/);
  });

  it('proves a plan only once that is right', async () => {
    assert.match(
      await step(DONE, 'verified', [OWN]),
      /^open: What was read is as the plan, but a step before it is still open\. \[verifyReadBack/,
    );
  });
});

describe('the step of the record', () => {
  it('names the file that cannot be read, and what is not saved', async () => {
    assert.match(
      await step({ ...DONE, 'other.cfgdump': { fails: 'EACCES' } }, 'recorded'),
      /^open: .*other\.cfgdump.* cannot be read: not allowed/,
    );
    const other = {
      'cluster.dump-profile.json': PROFILE_TEXT,
      'z.retrofit.json': RETROFIT['socket.retrofit.json'].replace('rear-body', 'cluster'),
    };
    assert.match(await step({ ...DONE, ...other }, 'recorded'), /^done/);
    assert.match(
      await step({ ...DONE, ...other }, 'recorded', ['z.retrofit.json']),
      /^open: z\.retrofit\.json is not saved/,
    );
  });

  it('is open where nothing was written and so nothing is proved', async () => {
    assert.equal(
      await step({ ...others(DONE, READ_BACK), [OWN]: UNCHANGED }, 'recorded'),
      'open: The record tells what was done, and what is open. [vehicleRecord rear-body.cfgdump]',
    );
  });

  it('names what is open in the own module first', async () => {
    const changed = demoFile('cluster.as-found.cfgdump')
      .replace(/^@(?:seal|absent).*\n/gm, '')
      .replace(/^@taken.*/m, '@backup cluster.as-found.cfgdump')
      .replace('0800 0210 3800 | 60', '0800 1210 3800 | 50')
      .replace('0A BB', 'FA BA');
    const files = {
      ...others(DONE, READ_BACK),
      'cluster.dump-profile.json': demoFile('cluster.dump-profile.json'),
      'cluster.as-found.cfgdump': demoFile('cluster.as-found.cfgdump'),
      'cluster.cfgdump': changed,
    };
    for (const own of [OWN, 'cluster.cfgdump'])
      assert.match(await step(files, 'recorded', [], own), new RegExp(`^open: ${own} is changed, and no reading`));
  });

  it('is open for a dump of no vehicle in its folders that was not read whole, and for none elsewhere', async () => {
    const torn = nameless(READ)
      .replace('@part RB-2041-07', '@part XX-1')
      .replace(/^ 9: 00 00/m, ' 9: 00 0');
    assert.match(await step({ ...DONE, 'z.cfgdump': torn }, 'recorded'), /^open: z\.cfgdump/);
    const far = { 'file:///car/b/z.cfgdump': torn, [`b/${PROFILE_FILE}`]: PROFILE_TEXT };
    const own = Object.fromEntries(Object.entries(DONE).map(([name, text]) => [`a/${name}`, text]));
    assert.match(await step({ ...own, ...far }, 'recorded'), /^done/);
    const both = { ...own, [`b/${READ_BACK}`]: BACK.replace('@profile ', '@profile ../a/'), ...far };
    assert.match(await step(others(both, `a/${READ_BACK}`), 'recorded'), /^open: .*z\.cfgdump/);
  });

  it('takes no dump of a vehicle without a name for two', async () => {
    const found = nameless(FOUND);
    const files = { ...PROFILE, [BACKUP]: found, [OWN]: nameless(PLANNED) };
    assert.match(await step(files, 'recorded'), /^open: rear-body\.cfgdump is changed, and no reading here proves/);
  });
});

describe('the jobs of several vehicles', () => {
  const titles = async (files: Files) =>
    (await jobsIn(files)).map(({ title, modules }) => [
      title,
      ...modules.map(({ files: all }) =>
        all
          .map((file) => file.split('/').at(-1))
          .sort()
          .join(' '),
      ),
    ]);

  it('are told apart; a dump that names no vehicle goes with the backup that it names, or that names it', async () => {
    const other = {
      'b.as-found.cfgdump': otherCar(FOUND),
      'b.cfgdump': otherCar(PLANNED.replace('rear-body.as', 'b.as')),
    };
    for (const [own, backup] of [
      [nameless(PLANNED), FOUND],
      [PLANNED, nameless(FOUND)],
    ] as const) {
      const files = { ...PROFILE, ...other, [BACKUP]: backup, [OWN]: own, 'rear-body.before.cfgdump': READ };
      assert.deepEqual(await titles(files), [
        ['stock no. 2049', 'b.as-found.cfgdump b.cfgdump'],
        ['stock no. 2041', 'rear-body.as-found.cfgdump rear-body.before.cfgdump rear-body.cfgdump'],
      ]);
    }
  });

  it('are one where they name one backup that says of no vehicle that it is of it, and leave a third alone', async () => {
    const files = {
      ...PROFILE,
      'a.cfgdump': otherCar(PLANNED),
      'b.cfgdump': otherCar(PLANNED.replace('@backup rear-body.', '@backup b.'), '7'),
      'b.as-found.cfgdump': otherCar(FOUND, '7'),
      'c.cfgdump': PLANNED,
      [BACKUP]: nameless(FOUND),
    };
    const found = await titles(files);
    assert.equal(found.length, 2);
    assert.deepEqual(found.map((one) => one.slice(1).join(' ')).sort(), [
      'a.cfgdump c.cfgdump rear-body.as-found.cfgdump',
      'b.as-found.cfgdump b.cfgdump',
    ]);
  });

  it('are about the dump in work, or the sealed one where there is no other', async () => {
    assert.deepEqual(
      (await jobsIn(DONE)).map(({ modules }) => modules[0]?.file),
      [at(OWN)],
    );
    assert.deepEqual(
      (await jobsIn({ ...PROFILE, [BACKUP]: FOUND })).map(({ modules }) => modules[0]?.file),
      [at(BACKUP)],
    );
  });

  it('pause between two, so that a key that is pressed meanwhile does not wait', async () => {
    const other = {
      'b.as-found.cfgdump': otherCar(FOUND),
      'b.cfgdump': otherCar(PLANNED.replace('rear-body.as', 'b.as')),
    };
    assert.equal([...jobSteps(await inputOf({ ...DONE, ...other }))].length, 2);
  });

  it('are told anew after any change of what they were told from', async () => {
    const files = { ...DONE, ...RETROFIT, 'z.cfgdump': nameless(READ).replace('@part RB-2041-07', '@part XX-1') };
    const input = await inputOf(files);
    const before = finish(jobSteps(input));
    const isKept = (now: JobInput) => finish(jobSteps(now, before)).vehicles[0] === before.vehicles[0];
    assert.ok(isKept({ ...input }));
    for (const name of [...Object.keys(files)])
      assert.ok(!isKept({ ...input, isSaved: (file) => file !== at(name) }), `${name} is not saved`);
    for (const { file } of input.dumps)
      assert.ok(!isKept({ ...input, dumps: input.dumps.filter((one) => one.file !== file) }), `${file} is gone`);
    for (const { file } of input.dumps)
      assert.ok(
        !isKept({ ...input, dumps: input.dumps.map((one) => (one.file === file ? { ...one } : one)) }),
        `${file} is read again`,
      );
    const [first] = input.dumps;
    assert.ok(first);
    assert.ok(!isKept({ ...input, dumps: [...input.dumps, { ...first, file: at('new.cfgdump') }] }));
    assert.ok(!isKept({ ...input, retrofits: [] }));
    assert.ok(!isKept({ ...input, cards: [] }));
    assert.ok(!isKept({ ...input, unread: [{ file: undefined, says: phrase('odd') }] }));
  });
});
