// Going back: the dump is as its backup again, and the module still holds what was read back from it.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { jobCard, jobDump } from '../../../shared-core/src/jobs/index.js';
import { heldLast, workBack } from '../../../shared-core/src/jobs/steps/module.js';
import { demoFile } from '../../support/demo.js';
import { at, BACK, DONE, inputOf, jobsIn, others, RETROFIT, stepsIn, UNCHANGED } from '../../support/jobFolder.js';
import { LATER } from '../../support/later.js';

const GONE_BACK = { ...others(DONE, 'x.job-card.md'), 'rear-body.cfgdump': UNCHANGED };
const AGAIN = UNCHANGED.replace(/^@backup.*/m, '@taken 2026-03-02T12:30:00Z');

/** The card for the way back, as the server makes it. */
async function cardBack(files: typeof GONE_BACK): Promise<string> {
  const { dumps } = await inputOf(files);
  const own = dumps.find(({ file }) => file === at('rear-body.cfgdump'));
  const held = own && heldLast(own, dumps, LATER);
  assert.ok(own && held);
  assert.equal(held.name, 'rear-body.read-back.cfgdump');
  const { text, open } = jobCard(
    { modules: [workBack(own, held).card], retrofit: undefined, time: '2026-03-02T12:00:00Z' },
    (said) => say(said),
  );
  assert.deepEqual(
    open.map((said) => say(said)),
    [],
  );
  return text;
}

describe('a module that is to be as in its backup again', () => {
  it('has a job that leads on: which lines to write back, a card of these, and what is read back then', async () => {
    const steps = await stepsIn(GONE_BACK);
    assert.equal(
      steps.find((step) => step.includes(' change:')),
      'done change: As in the backup. The module last held Trailer socket: 13-pin (rear-body.read-back.cfgdump): write these lines back: 4, 17.',
    );
    assert.match(
      steps.join('\n'),
      /^next card: The module still holds Trailer socket: 13-pin\. Make the card of the lines to write back: 4, 17\./m,
    );
    const card = await cardBack(GONE_BACK);
    assert.match(card, /^# Job card: back to the backup$/m);
    assert.match(card, /^This card is for going back: /m);
    assert.match(card, /^\| Done \| Line \| Old \| New: enter this \| Why \|\n.*\n.*\n.*\*\*4\*\*/m);
    assert.doesNotMatch(card, /not sealed|The way back|dump as found/);
    const torn = { ...GONE_BACK, 'back.job-card.md': card.replace(/^## Lines to enter$/m, '') };
    assert.match((await stepsIn(torn)).join('\n'), /^next card: back\.job-card\.md is not a whole job card/m);
    // What looks like a card of a change may not leave out the way back.
    const renamed = { ...GONE_BACK, 'back.job-card.md': card.replace('back to the backup', 'a change') };
    assert.match((await stepsIn(renamed)).join('\n'), /^next card: back\.job-card\.md is not a whole job card/m);
    const withCard = { ...GONE_BACK, 'back.job-card.md': card };
    assert.match(
      (await stepsIn(withCard)).join('\n'),
      /^done card: back\.job-card\.md.*\nnext readBack: Write the module as the card says.* \[bringBack rear-body\.cfgdump\]$/m,
    );
    const read = { ...withCard, 'rear-body.read-back-2.cfgdump': AGAIN };
    const done = await stepsIn(read);
    assert.ok(
      done.every((step) => step.startsWith('done ')),
      done.join('\n'),
    );
    assert.match(done.join('\n'), /Written back: rear-body\.read-back-2\.cfgdump verifies/);
  });

  it('counts a reading that is not saved in no step', async () => {
    const card = await cardBack(GONE_BACK);
    const unsaved = 'rear-body.read-back-2.cfgdump';
    const before = { ...GONE_BACK, 'back.job-card.md': card };
    const steps = await stepsIn({ ...before, [unsaved]: AGAIN }, [unsaved]);
    const ofStep = (all: readonly string[], id: string) => all.find((step) => step.includes(` ${id}:`));
    for (const id of ['change', 'card']) assert.equal(ofStep(steps, id), ofStep(await stepsIn(before), id));
    assert.equal(ofStep(steps, 'readBack'), `next readBack: ${unsaved} is not saved yet. [save ${unsaved}]`);
    assert.equal(ofStep(steps, 'verified'), `later verified: ${unsaved} is not saved yet.`);
    // Nor one that shows what the module holds.
    const only = 'rear-body.read-back.cfgdump';
    assert.match(ofStep(await stepsIn(GONE_BACK, [only]), 'change') ?? '', /^next change: Nothing is changed yet\./);
  });

  it('has one that is saved and verified, beside a later one that is not saved: that may be otherwise', async () => {
    const unsaved = 'rear-body.z.cfgdump';
    const files = { ...DONE, [unsaved]: AGAIN };
    const steps = await stepsIn(files, [unsaved]);
    assert.match(steps.join('\n'), /^next readBack: rear-body\.z\.cfgdump is not saved yet\./m);
    assert.match(steps.join('\n'), /^later verified: rear-body\.z\.cfgdump is not saved yet\./m);
  });

  it('has a card that says to read the module again first where the last reading was read badly', async () => {
    const badly =
      /⚠ rear-body\.read-back\.cfgdump has a sum that is wrong: it was mistyped or badly read\. Read the module once more and make this card anew before anything is written\./;
    assert.doesNotMatch(await cardBack(GONE_BACK), /badly read/);
    const line = BACK.replace(/^( 4: .. ..)/m, (_, bytes: string) => bytes.replace(/..$/, '0F'));
    const total = BACK.replace(/^total: .*/m, 'total: 21 B3');
    for (const read of [line, total]) {
      assert.notEqual(read, BACK);
      const files = { ...GONE_BACK, 'rear-body.read-back.cfgdump': read };
      const card = await cardBack(files);
      assert.match(card, badly);
      // A line with a wrong sum may be another one in the module than is shown.
      const isLine = read === line;
      assert.equal(
        /^\|.*\*\*4\*\*.*Its own sum is wrong in what was read: mistyped or badly read\. \|$/m.test(card),
        isLine,
      );
      assert.doesNotMatch(card, /\*\*17\*\*.*Its own sum is wrong/);
      // Nothing is written by it: the step waits for a reading without such a sum, whatever card is kept.
      for (const kept of [files, { ...files, 'back.job-card.md': card }]) {
        const steps = (await stepsIn(kept)).join('\n');
        assert.match(
          steps,
          /^next card: rear-body\.read-back\.cfgdump has a sum that is wrong: it was mistyped or badly read\. Read the module once more and bring in what was read\. \[bringBack rear-body\.cfgdump\]$/m,
        );
        // So do the steps behind it: nobody is told to write a line that may not be what is there.
        for (const id of ['readBack', 'verified'])
          assert.match(
            steps,
            new RegExp(
              `^later ${id}: rear-body\\.read-back\\.cfgdump has a sum that is wrong: .* bring in what was read\\.$`,
              'm',
            ),
          );
        assert.doesNotMatch(steps, /Write (?:the module|these lines)/);
        assert.match(
          steps,
          /^done change: As in the backup\. What the module last held was mistyped or badly read \(rear-body\.read-back\.cfgdump\)\.$/m,
        );
      }
      const again = {
        ...files,
        'back.job-card.md': card,
        'rear-body.read-back-2.cfgdump': BACK.replace('T11:02', 'T11:30'),
      };
      assert.match((await stepsIn(again)).join('\n'), /^next card: The module still holds Trailer socket: 13-pin\./m);
    }
  });

  it('is said to hold nothing where nobody can tell which of its readings is the last', async () => {
    const sameMinute = { 'rear-body.read-back-2.cfgdump': AGAIN.replace('T12:30:00Z', 'T11:02:00Z') };
    const toCome = { 'rear-body.read-back.cfgdump': BACK.replace('2026-03-02', '9126-03-02') };
    for (const [more, why, does] of [
      [sameMinute, /which does not tell which of them was read later\. Read the module once more/, 'bringBack'],
      [toCome, /which is in the future\./, 'open'],
      [{ ...sameMinute, ...toCome }, /which is in the future\./, 'open'],
    ] as const)
      for (const retrofit of [{}, RETROFIT]) {
        const files = { ...GONE_BACK, ...retrofit, ...more };
        const steps = (await stepsIn(files)).join('\n');
        const [next = ''] = /^next .*$/m.exec(steps) ?? [];
        assert.match(next, /^next change: rear-body\.cfgdump is as its backup\. .* cannot be ordered: /, steps);
        assert.match(next, why);
        assert.match(next, new RegExp(`\\[${does} rear-body\\.(?:read-back\\.)?cfgdump\\]$`));
        assert.doesNotMatch(steps, /last held|still holds|Write the module|write these lines/);
        const { dumps } = await inputOf(files);
        const own = dumps.find(({ file }) => file === at('rear-body.cfgdump'));
        assert.equal(own && heldLast(own, dumps, LATER), undefined);
      }
  });

  it('is done though its retrofit lies in the folder: that was set, and is taken back', async () => {
    const titles = async (files: Parameters<typeof jobsIn>[0]) =>
      (await jobsIn(files)).flatMap(({ modules }) =>
        modules.flatMap(({ steps }) => steps.map(({ title }) => say(title))),
      );
    const back = { ...GONE_BACK, ...RETROFIT };
    assert.ok((await titles(back)).includes('Retrofit taken back'));
    assert.ok((await titles(GONE_BACK)).includes('Option taken back'));
    assert.ok((await titles({ ...DONE, ...RETROFIT })).includes('Retrofit set'));
    assert.ok(!(await stepsIn(back)).some((step) => /not carried out/.test(step)));
    const read = { ...back, 'back.job-card.md': await cardBack(back), 'rear-body.read-back-2.cfgdump': AGAIN };
    assert.ok((await titles(read)).includes('Retrofit taken back'));
    const done = await stepsIn(read);
    assert.ok(
      done.every((step) => step.startsWith('done ')),
      done.join('\n'),
    );
    // Another retrofit, which was never carried out, is to be set first.
    const other = { 'tailgate.retrofit.json': RETROFIT['socket.retrofit.json'].replace('13-pin', '7-pin') };
    assert.match(
      (await stepsIn({ ...others(read, 'socket.retrofit.json'), ...other })).join('\n'),
      /^next change: Not set/m,
    );
  });

  it('has its card done while another module of the retrofit keeps what was set, which only the record tells', async () => {
    const cluster = ['cluster.dump-profile.json', 'cluster.as-found.cfgdump', 'trailer-socket.retrofit.json'];
    const files = {
      ...GONE_BACK,
      ...Object.fromEntries(cluster.map((name) => [name, demoFile(name)])),
      'cluster.cfgdump': demoFile('cluster.cfgdump')
        .replace('0007 20F7 0010 7F10 | 36', '0001 20F7 0010 7F10 | 3C')
        .replace('0210 3800 | 60', '1210 3800 | 50')
        .replace('total: 0A BB', 'total: FA BA'),
    };
    const rearOf = async (all: Parameters<typeof jobsIn>[0]) => {
      const modules = (await jobsIn(all)).flatMap((job) => job.modules);
      assert.equal(modules.length, 2);
      const rear = modules.find(({ file }) => file === at('rear-body.cfgdump'));
      return (rear?.steps ?? []).map(({ id, state, title }) => `${state} ${id}: ${say(title)}`);
    };
    assert.ok((await rearOf(files)).includes('next card: Job card made'));
    const kept = await rearOf({ ...files, 'back.job-card.md': await cardBack(files) });
    for (const step of ['done change: Retrofit taken back', 'done card: Job card made', 'next readBack: Read back'])
      assert.ok(kept.includes(step), kept.join('\n'));
  });

  it('stays open where what is read then is not as the backup, or is not dated', async () => {
    const withCard = { ...GONE_BACK, 'back.job-card.md': await cardBack(GONE_BACK) };
    const wrong = BACK.replace('T11:02', 'T12:30');
    const undated = AGAIN.replace(/^@taken.*\n/m, '');
    for (const again of [wrong, undated]) {
      const steps = await stepsIn({ ...withCard, 'rear-body.read-back-2.cfgdump': again });
      assert.ok(!steps.some((step) => step.startsWith('done verified') || step.startsWith('done recorded')), again);
    }
  });

  it('needs nothing where it was never read to hold anything else', async () => {
    const files = others(GONE_BACK, 'rear-body.read-back.cfgdump');
    const { dumps } = await inputOf(files);
    const [own] = dumps.filter(({ file }) => file === at('rear-body.cfgdump'));
    assert.ok(own);
    assert.equal(heldLast(jobDump(own.loaded), dumps, LATER), undefined);
    assert.match((await stepsIn(files)).join('\n'), /^next change: Nothing is changed yet/m);
  });
});
