// The job of a vehicle as steps, over made-up folders: what is done, what is next, and why nothing counts as done in doubt.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { finish, phrase, say } from '../../../shared-core/src/base/index.js';
import { type JobDump, type JobInput, jobSteps, savedCard } from '../../../shared-core/src/jobs/index.js';
import { sha256OfText } from '../../../shared-core/src/model/seal.js';
import { demoFile } from '../../support/demo.js';
import {
  at,
  BACK,
  CARD,
  cardOf,
  DONE,
  type Files,
  FOUND,
  german,
  inputOf,
  isDone,
  jobsIn,
  next,
  others,
  PASTED,
  PLANNED,
  PROFILE,
  READ,
  RETROFIT,
  stepsIn,
  UNCHANGED,
  WRONG,
} from '../../support/jobFolder.js';
import type { MemoryFile } from '../../support/memoryHost.js';

describe('the steps of a job', () => {
  it('are all done where a reading proves what the card planned', async () => {
    assert.deepEqual(await stepsIn(DONE), [
      'done broughtIn: rear-body.cfgdump',
      'done sums: Profile: Rear body module (demo)',
      'done backup: rear-body.as-found.cfgdump',
      'done change: Trailer socket: none → 13-pin [restore rear-body.cfgdump]',
      'done right: All of it was checked, and nothing is wrong.',
      'done card: x.job-card.md [open x.job-card.md]',
      'done readBack: rear-body.read-back.cfgdump, 2026-03-02 11:02 UTC [bringBack rear-body.cfgdump]',
      'done verified: Written: rear-body.read-back.cfgdump verifies it. Try the function in the car, and note it if it works. [noteSeen rear-body.cfgdump]',
      'done recorded: Nothing is open in the record of the vehicle. [vehicleRecord rear-body.cfgdump]',
    ]);
  });

  it('offer to note what was set until the profile says so, and only what is proved', async () => {
    const verifiedIn = async (files: Files) =>
      (await stepsIn(files)).find((line) => / verified: /.test(line))?.replace(/.*\[(\w+).*/, '$1');
    assert.equal(await verifiedIn(DONE), 'noteSeen');
    const noted = (PROFILE['rear-body.dump-profile.json'] ?? '').replace(
      /("id": "trailer-socket",)/,
      '$1 "seen": [{ "part": "RB-2041-07", "software": "0311", "date": "2026-03-02", "how": "set-and-tried" }],',
    );
    assert.equal(await verifiedIn({ ...DONE, 'rear-body.dump-profile.json': noted }), 'verifyReadBack');
    const earlier = noted.replace('"date": "2026-03-02"', '"date": "2025-03-02"');
    assert.equal(await verifiedIn({ ...DONE, 'rear-body.dump-profile.json': earlier }), 'noteSeen');
  });

  it('say of a wrong reading first that it is the dump of a donor beside it', async () => {
    const donor = BACK.replace(/^@(?:vehicle|vin|taken).*\n/gm, '').replace(
      '00 6E 21 20  5D C4 | D4',
      '00 6F 21 20  5D C4 | D5',
    );
    const back = BACK.replace('00 6E 21 20  5D C4 | D4', '00 6F 21 20  5D C4 | D5');
    const files = { ...DONE, 'rear-body.read-back.cfgdump': back };
    assert.match(
      await next(files),
      /^next verified: What was read is NOT what was planned\. Other than planned: line 10\./,
    );
    assert.match(
      await next({ ...files, 'donor.cfgdump': `@use comparison\n${donor}` }),
      /^next verified: .* may be of another car or module: it is byte for byte donor\.cfgdump/,
    );
  });

  it('come one after the other, each with one thing to do', async () => {
    const folders: readonly (readonly [Files, RegExp])[] = [
      [{ 'a.cfgdump': '' }, /^next broughtIn: Nothing is in a\.cfgdump yet: paste .* \[open a\.cfgdump\]$/],
      [{ 'a.cfgdump': PASTED.replace(/^@v.*\n/gm, '') }, /^next broughtIn: .* of which vehicle it is\. \[describe a/],
      [{ 'a.cfgdump': PASTED.replace(/^@taken.*\n/m, '') }, /^next broughtIn: .* when it was read\. \[describe a/],
      [{ 'a.cfgdump': PASTED.replace(/^@taken.*/m, '@taken soon') }, /^next broughtIn: .*is "soon".* \[open a/],
      [
        { 'a.cfgdump': PASTED },
        /^next sums: a\.cfgdump has no profile yet\. How it is written.* \[learn a\.cfgdump\]$/,
      ],
      [{ ...PROFILE, 'a.cfgdump': READ }, /^next backup: There is no sealed backup yet.* \[makeBackup a\.cfgdump\]$/],
      [
        others({ ...DONE, 'rear-body.cfgdump': UNCHANGED }, 'rear-body.read-back.cfgdump'),
        /^next change: Nothing is changed yet\. \[setOption rear-body\.cfgdump\]$/,
      ],
      [{ ...DONE, 'rear-body.cfgdump': WRONG }, /^next right: .*Line 4: its sum is 88.* \[correctChecksums rear-body/],
      [others(DONE, 'x.job-card.md'), /^next card: There is no card .* \[jobCard rear-body\.cfgdump\]$/],
      [others(DONE, 'rear-body.read-back.cfgdump'), /^next readBack: Write the module .* \[bringBack rear-body/],
      [
        { ...DONE, 'rear-body.read-back.cfgdump': BACK.replace('03 21 7F  00 FF | A8', '03 01 7F  00 FF | 88') },
        /^next verified: What was read is NOT what was planned.*line 4\. \[verifyReadBack rear-body\.cfgdump\]$/,
      ],
      [
        { ...DONE, 'rear-body.older.cfgdump': READ.replace(' 7: 7F', ' 7: F').replace('T09:14', 'T10:14') },
        /^next recorded: rear-body\.older\.cfgdump was not read whole: .* \[vehicleRecord rear-body\.cfgdump\]$/,
      ],
    ];
    for (const [files, step] of folders) assert.match(await next(files), step);
  });

  it('lead to the file of another module that leaves the record open', async () => {
    const mirror = `@vehicle ${/^@vehicle (.*)$/m.exec(FOUND)?.[1]}\n@vin ${/^@vin (.*)$/m.exec(FOUND)?.[1]}\n@module Mirror\n@part XX-1\n@taken 2026-03-03\n1: 00 1\n`;
    const jobs = await jobsIn({ ...DONE, 'mirror-view.cfgdump': mirror });
    const body = jobs.flatMap(({ modules }) => modules).find(({ file }) => file === at('rear-body.cfgdump'));
    const recorded = body?.steps.find(({ id }) => id === 'recorded');
    assert.match(say(recorded?.says ?? phrase('')), /^Mirror: mirror-view\.cfgdump/);
    assert.deepEqual(recorded?.action, { does: 'open', file: at('mirror-view.cfgdump') });
    assert.deepEqual(recorded?.more, [{ does: 'vehicleRecord', file: at('rear-body.cfgdump') }]);
  });

  it('keep the order of modules whatever a reading of one of them is called', async () => {
    const mirror = `@vehicle ${/^@vehicle (.*)$/m.exec(FOUND)?.[1]}\n@vin ${/^@vin (.*)$/m.exec(FOUND)?.[1]}\n@module Mirror\n@part XX-1\n@taken 2026-03-03\n1: 00 | 01\n`;
    const files = { ...others(DONE, 'rear-body.read-back.cfgdump'), 'mirror.cfgdump': mirror };
    const order = async (some: Files) =>
      (await jobsIn(some)).flatMap(({ modules }) => modules.map(({ file }) => file.split('/').at(-1)));
    const before = await order(files);
    assert.deepEqual(before, ['mirror.cfgdump', 'rear-body.cfgdump']);
    assert.deepEqual(await order({ ...files, 'a-reading.cfgdump': BACK }), before);
  });

  it('lead from a text in a form that is not known to its rule', async () => {
    const odd = '@vehicle x\n@taken 2026-03-02\nRE-01 = A6 01 *A7\nRE-02 = 11 22 *33\n';
    assert.match(await next({ 'a.cfgdump': odd }), /^next sums: a\.cfgdump has no profile yet\./);
  });

  it('leave an option to be found where the profile knows none', async () => {
    const profile = JSON.stringify({
      ...JSON.parse(demoFile('rear-body.dump-profile.json')),
      options: [],
      samples: [],
    });
    const files = {
      'rear-body.dump-profile.json': profile,
      'a.cfgdump': UNCHANGED,
      'rear-body.as-found.cfgdump': FOUND,
    };
    assert.match(await next(files), /^next change: The profile names no option yet\..* \[findOption a\.cfgdump\]$/);
  });

  it('leave an option to be found where the profile names only a text that learning found, such as a serial number', async () => {
    const serial = { id: 'text', title: 'Text', line: 3, bytes: '1-3', text: 'ascii' };
    const nextOf = async (option: object) => {
      const { samples, balance, ...profile } = JSON.parse(demoFile('rear-body.dump-profile.json'));
      return next({
        'rear-body.dump-profile.json': JSON.stringify({ ...profile, options: [option] }),
        'a.cfgdump': UNCHANGED,
        'rear-body.as-found.cfgdump': FOUND,
      });
    };
    assert.match(
      await nextOf({ ...serial, confidence: 'guess' }),
      /^next change: The profile names no option yet but texts and dates .*serial number.* \[findOption a\.cfgdump\]$/,
    );
    assert.match(await nextOf(serial), /^next change: Nothing is changed yet\. \[setOption/);
  });

  it('take a reading that holds what the backup holds for one of before the work: to write comes first', async () => {
    const older = READ.replace('T09:14', 'T10:14');
    const { 'rear-body.read-back.cfgdump': _, ...rest } = DONE;
    assert.match(
      await next({ ...rest, 'rear-body.read-back.cfgdump': older }),
      /^next readBack: rear-body\.read-back\.cfgdump holds the bytes of the backup, .*Write the module as the card says\..* \[bringBack rear-body\.cfgdump\]$/,
    );
  });

  it('lead from a mistyped byte to what the backup holds, and not only to a sum that fits it', async () => {
    const slip = PLANNED.replace(' 7: 7F', ' 7: 7E');
    assert.notEqual(slip, PLANNED);
    const steps = (await jobsIn({ ...DONE, 'rear-body.cfgdump': slip })).flatMap(
      ({ modules }) => modules[0]?.steps ?? [],
    );
    const right = steps.find(({ id }) => id === 'right');
    assert.match(
      say(right?.says ?? phrase('')),
      /^The sum of line 7 is wrong, and byte 1 is 7E, while the backup has 7F\./,
    );
    assert.deepEqual(
      [right?.action, ...(right?.more ?? [])].map((action) => action?.does),
      ['compareWithBackup', 'restore', 'correctChecksums'],
    );
  });

  it('ask for what is open in the editor to be saved', async () => {
    const UNSAVED = 'rear-body.cfgdump';
    assert.match(await next(DONE, [UNSAVED]), /^next change: rear-body\.cfgdump is not saved yet\. \[save rear-body/);
    assert.ok(!(await isDone(DONE, 'right', [UNSAVED])));
    assert.match(
      await next(DONE, ['rear-body.read-back.cfgdump']),
      /^next readBack: .*not saved yet\. \[save rear-body\.read/,
    );
    assert.match(
      await next(DONE, ['rear-body.dump-profile.json']),
      /^next sums: .*not saved yet\. \[save rear-body\.dump-p/,
    );
    for (const [name, id] of [
      ['rear-body.as-found.cfgdump', 'backup'],
      ['socket.retrofit.json', 'change'],
      ['x.job-card.md', 'card'],
    ] as const) {
      const files = { ...DONE, ...RETROFIT };
      assert.ok(await isDone(files, id));
      assert.match(await next(files, [name]), new RegExp(`^next ${id}: ${name} is not saved yet\\. \\[save ${name}`));
      assert.ok(!(await isDone(files, id, [name])));
    }
    assert.ok(!(await isDone(DONE, 'card', [UNSAVED])));
    assert.ok(!(await isDone(DONE, 'verified', [UNSAVED])));
    assert.ok(!(await isDone(DONE, 'verified', ['rear-body.read-back.cfgdump'])));
  });

  it('have nothing done, in themselves, that is about a dump in work which is not saved', async () => {
    const doneIn = async (unsaved: readonly string[]) => {
      const [vehicle] = await jobsIn({ ...DONE, ...RETROFIT }, unsaved);
      const body = vehicle?.modules.find(({ file }) => file === at('rear-body.cfgdump'));
      return (body?.steps ?? []).filter(({ isDone: is }) => is).map(({ id }) => id);
    };
    assert.deepEqual((await doneIn([])).slice(3), ['change', 'right', 'card', 'readBack', 'verified', 'recorded']);
    const left = await doneIn(['rear-body.cfgdump']);
    for (const id of ['change', 'right', 'card', 'verified', 'recorded']) assert.ok(!left.includes(id as never), id);
  });

  it('tick nothing that is only in the editor so far, and give the button that saves it', async () => {
    const saves = 'a.cfgdump is not saved yet. [save a.cfgdump]';
    const backup = { 'rear-body.as-found.cfgdump': FOUND };
    for (const [id, files] of [
      ['broughtIn', { 'a.cfgdump': PASTED }],
      ['sums', { ...PROFILE, 'a.cfgdump': READ }],
      ['backup', { ...PROFILE, ...backup, 'a.cfgdump': UNCHANGED }],
      ['change', { ...PROFILE, ...backup, 'a.cfgdump': PLANNED }],
    ] as const) {
      assert.ok(await isDone(files, id), id);
      assert.equal(await next(files, ['a.cfgdump']), `next ${id}: ${saves}`);
    }
    const back = { ...others(DONE, 'x.job-card.md'), 'rear-body.cfgdump': UNCHANGED };
    assert.ok(await isDone(back, 'change'));
    assert.ok(!(await isDone(back, 'change', ['rear-body.cfgdump'])));
  });

  describe('of sums', () => {
    it('are not understood by a profile that is torn, faulty, for another module, or silent about sums', async () => {
      const text = demoFile('rear-body.dump-profile.json');
      const { lineSum, totals, balance, ...silent } = JSON.parse(text);
      void [lineSum, totals, balance];
      for (const [profile, step] of [
        ['{', /^next sums: .* \[openProfile a\.cfgdump\]$/],
        [text.replace('"locked"', '"loked"'), /^next sums: .*loked.* \[openProfile a\.cfgdump\]$/],
        [text.replace('"lines"', '"appliesTo": { "part": ["XX-*"] }, "lines"'), /^next sums: .*for another module/],
        [JSON.stringify(silent), /^next sums: a\.cfgdump: its profile does not say how its lines are summed/],
      ] as const)
        assert.match(await next({ 'rear-body.dump-profile.json': profile, 'a.cfgdump': READ }), step);
      assert.match(await next({ 'a.cfgdump': READ }), /^next sums: .*rear-body\.dump-profile\.json/);
    });
  });

  describe('of the backup', () => {
    const withBackup = (backup: MemoryFile) => ({ ...DONE, 'rear-body.as-found.cfgdump': backup });

    it('are open where it is missing, unreadable, broken, unsealed or of another car', async () => {
      for (const [files, why] of [
        [others(DONE, 'rear-body.as-found.cfgdump'), /cannot be read/],
        [withBackup({ fails: 'EACCES' }), /cannot be read: not allowed/],
        [withBackup(FOUND.replace('7F 7F 08 58', '7F 7F 08 59')), /The seal of the backup is broken/],
        [withBackup(FOUND.replace(/^@seal.*\n/m, '')), /is not sealed/],
        [withBackup(FOUND.replace('TA020418', 'TA020419')), /of another car/],
        [withBackup(FOUND.replace(/^@part.*\n/m, '')), /The backup has no "@part"/],
      ] as const) {
        const jobs = await jobsIn(files);
        const steps = jobs
          .flatMap(({ modules }) => modules)
          .find(({ file }) => file === at('rear-body.cfgdump'))?.steps;
        const backup = steps?.find(({ id }) => id === 'backup');
        assert.equal(backup?.isDone, false);
        assert.match(say(backup?.says ?? { pattern: '', parts: [] }), why);
        for (const id of ['card', 'verified', 'recorded'])
          assert.equal(steps?.find((step) => step.id === id)?.isDone, false, id);
      }
    });

    it('say why none is made of a dump that was not read right', async () => {
      const odd = { ...PROFILE, 'a.cfgdump': READ.replace('00 FF | 88', '00 FF | 89') };
      assert.match(
        await next(odd),
        /^next backup: No backup is made, since the sum of line 4 is wrong.* \[showProblems a/,
      );
    });
  });

  describe('of a retrofit', () => {
    it('are done only where the module is set as one of its retrofits asks', async () => {
      assert.ok(await isDone({ ...DONE, ...RETROFIT }, 'change'));
      const other = { 'socket.retrofit.json': RETROFIT['socket.retrofit.json'].replace('13-pin', '7-pin') };
      assert.match(
        await next({ ...DONE, ...other }),
        /^next change: .*Trailer socket is to be 7-pin, but is 13-pin\..*follows no retrofit.*"socket\.retrofit\.json".* \[planRetrofit/,
      );
      assert.ok(!(await isDone({ ...DONE, ...other }, 'verified')));
      assert.match(
        await next({ ...DONE, ...other, 'rear-body.cfgdump': UNCHANGED }),
        /^next change: Not set in this dump yet: "Socket" \[planRetrofit rear-body/,
      );
      assert.match(
        await next({ ...DONE, 'socket.retrofit.json': '{' }),
        /^next change: socket\.retrofit\.json cannot be read/,
      );
    });

    it('lead back where it was carried out and the dump is as its backup again, until the module is so too', async () => {
      const back = { ...others(DONE, 'x.job-card.md'), ...RETROFIT, 'rear-body.cfgdump': UNCHANGED };
      const steps = await stepsIn(back);
      assert.match(
        steps.join('\n'),
        /^done change: As in the backup\. The module last held Trailer socket: 13-pin \(.*write these lines back: 4, 17\. \[planRetrofit/m,
      );
      assert.match(await next(back), /^next card: The module still holds Trailer socket: 13-pin\. Make the card/);
      assert.ok(!(await isDone(back, 'change', ['rear-body.cfgdump'])));
      assert.ok(!(await isDone(back, 'recorded')));
      const again = { ...back, 'second.cfgdump': READ.replace(/^@taken.*/m, '@taken 2026-03-03T11:02:00Z') };
      assert.match(
        (await stepsIn(again)).join('\n'),
        /^done change: Written back: second\.cfgdump verifies .* To set "Socket" again, plan it anew\. \[planRetrofit/m,
      );
    });

    it('are open where two retrofits contradict each other, which are named', async () => {
      const other = RETROFIT['socket.retrofit.json'].replace('13-pin', '7-pin');
      const step = await next({ ...DONE, ...RETROFIT, 'z.retrofit.json': other });
      assert.match(
        step,
        /^next change: Trailer socket is to be 13-pin by socket\.retrofit\.json and 7-pin by z\.retrofit\.json\..* \[open socket/,
      );
      assert.ok(await isDone({ ...DONE, ...RETROFIT, 'z.retrofit.json': RETROFIT['socket.retrofit.json'] }, 'change'));
    });

    it('lead to what is set beyond the retrofit, which no plan takes back', async () => {
      const less = {
        'socket.retrofit.json': RETROFIT['socket.retrofit.json']
          .replace('trailer-socket', 'tailgate')
          .replace('13-pin', 'by hand'),
      };
      assert.match(
        await next({ ...DONE, ...less }),
        /^next change: rear-body\.cfgdump: Trailer socket is changed too, .* \[setOption rear-body\.cfgdump\]$/,
      );
    });

    it('have nothing to write where the module holds it already', async () => {
      const kept = { 'socket.retrofit.json': RETROFIT['socket.retrofit.json'].replace('13-pin', 'none') };
      const files = { ...PROFILE, ...kept, 'a.cfgdump': UNCHANGED, 'rear-body.as-found.cfgdump': FOUND };
      assert.match(await next(files), /^stuck change: The module holds already what the retrofit asks for/);
    });
  });

  describe('of the card', () => {
    it('are open where it was made before the change, or of a plan that is not right', async () => {
      const old = { 'x.job-card.md': cardOf([[FOUND, UNCHANGED]]) };
      assert.match(
        await next({ ...DONE, ...old }),
        /^next card: x\.job-card\.md was made before the dump was last changed/,
      );
      const wrong = { 'x.job-card.md': cardOf([[FOUND, WRONG]]) };
      assert.ok(!(await isDone({ ...DONE, ...wrong, 'rear-body.cfgdump': WRONG }, 'card')));
      const other = { 'x.job-card.md': cardOf([[READ, PLANNED]]) };
      assert.match(await next({ ...DONE, ...other }), /^next card: There is no card/);
      const listing = {
        'x.job-card.md': CARD['x.job-card.md'].replace('## Before', '## Do not write yet\n\n- odd\n\n## Before'),
      };
      assert.match(await next({ ...DONE, ...listing }), /^next card: x\.job-card\.md says "Do not write yet"/);
      assert.ok(await isDone({ ...DONE, ...listing, 'y.job-card.md': CARD['x.job-card.md'] }, 'card'));
    });

    it('are done by a card in another language of the person, and by one that was kept for printing', async () => {
      const printed = CARD['x.job-card.md']
        .replace(/`([0-9a-f]{64})`/g, '<code>$1</code>')
        .replace(/^- (.*)$/gm, '<li>$1</li>')
        .replace(/^## (.*)$/gm, '<h2 id="x">$1</h2>')
        .replace(/^# (.*)$/gm, '<h1>$1</h1>')
        .replace(/^([A-Z].*)$/gm, '<p>$1</p>');
      const html = `<!doctype html>\n<html lang="en">\n<title>x</title>\n<body>\n${printed}</body>\n</html>\n`;
      assert.ok(await isDone({ ...others(DONE, 'x.job-card.md'), 'x.job-card.html': html }, 'card'));
      const card = savedCard('x', 'x', cardOf([[FOUND, PLANNED]], german), german);
      assert.deepEqual([card.isWhole, card.isOpen, card.modules.length], [true, false, 1]);
    });

    it('are open for one that is made the wrong way round, of exchanged dumps, cut off, or a mere note', async () => {
      const card = CARD['x.job-card.md'];
      const [found, planned] = [sha256OfText(FOUND), sha256OfText(PLANNED)];
      const swapped = card.replace(found, '?').replace(planned, found).replace('?', planned);
      for (const [text, why] of [
        [cardOf([[PLANNED, FOUND]]), /There is no card of these dumps yet/],
        [swapped, /There is no card of these dumps yet/],
        [
          cardOf([
            [FOUND, UNCHANGED],
            [READ, PLANNED],
          ]),
          /was made before the dump was last changed/,
        ],
        [card.slice(0, card.indexOf('## The way back')), /x\.job-card\.md is not a whole job card any more/],
        [card.slice(0, card.lastIndexOf('\n\n')), /is not a whole job card any more/],
        [card.slice(card.indexOf('SHA-256')), /is not a whole job card any more/],
        [`# Note\n\n${found}\n${planned}\n`, /There is no card of these dumps yet/],
        [`- <small>\`${found}\`</small> a\n- <small>\`${planned}\`</small> b\n`, /is not a whole job card any more/],
      ] as const) {
        const step = await next({ ...DONE, 'x.job-card.md': text });
        assert.match(step, /^next card: .* \[jobCard rear-body\.cfgdump\]$/);
        assert.match(step, why);
      }
    });
  });

  describe('of what was read back', () => {
    const withBack = (back: string) => ({ ...DONE, 'rear-body.read-back.cfgdump': back });

    it('are done by a reading that verifies, whatever an earlier one held', async () => {
      const slip = READ.replace(' 7: 7F', ' 7: 7E').replace('T09:14', 'T10:14');
      assert.ok(await isDone({ ...DONE, 'rear-body.older.cfgdump': slip }, 'recorded'));
      assert.ok(!(await isDone({ ...DONE, 'rear-body.later.cfgdump': slip.replace('T10:14', 'T12:14') }, 'recorded')));
    });

    it('begin anew where the dump is as its backup again and the module is not', async () => {
      const back = { ...DONE, 'rear-body.cfgdump': UNCHANGED };
      assert.match(
        await next(back),
        /^next card: The module still holds Trailer socket: 13-pin\. Make the card of the lines to write back: 4, 17\. \[jobCard rear-body\.cfgdump\]$/,
      );
      assert.ok(!(await isDone(back, 'recorded')));
      const again = { ...back, 'second.cfgdump': READ.replace(/^@taken.*/m, '@taken 2026-03-03T11:02:00Z') };
      assert.equal(await next(again), '');
    });

    it('say of a reading that is not saved only that', async () => {
      const steps = await stepsIn(DONE, ['rear-body.read-back.cfgdump']);
      assert.ok(steps.includes('later verified: rear-body.read-back.cfgdump is not saved yet.'), steps.join('\n'));
    });

    it('are open for a reading of another car, whatever it holds', async () => {
      const jobs = await jobsIn(withBack(BACK.replace('TA020418', 'TA020419')));
      assert.equal(jobs.length, 2);
      const own = jobs.find(({ modules }) => modules.some(({ file }) => file === at('rear-body.cfgdump')));
      const step = own?.modules[0]?.steps.find(({ state }) => state !== 'done');
      assert.equal(step?.id, 'readBack');
      // It says nothing of its VIN; a locked byte shows that it is another module.
      const locked = BACK.replace(/^@vin.*\n/m, '').replace('06 F4 20 41  00 01 | 57', '06 F4 20 41  00 02 | 58');
      assert.match(await next(withBack(locked)), /^next verified: .*This is not the read-back of this plan\./);
    });

    it('are open for a reading that is not whole, empty, or older than the backup', async () => {
      assert.match(await next(withBack(BACK.replace(/^ 9:.*\n/m, ''))), /^next verified: /);
      assert.match(await next(withBack(BACK.replace(/^( ?\d+:|total).*\n/gm, ''))), /^next readBack: Nothing is in/);
      assert.match(await next(withBack(BACK.replace('T11:02', 'T08:02'))), /^next readBack: /);
    });

    it('go by the latest reading', async () => {
      const later = BACK.replace('T11:02', 'T12:02').replace('03 21 7F  00 FF | A8', '03 01 7F  00 FF | 88');
      assert.match(
        await next({ ...DONE, 'later.cfgdump': later }),
        /^next verified: What was read is NOT what was planned/,
      );
    });
  });

  it('lead to the backup where it does not say when it was read: nothing later can be told from it', async () => {
    const undated = { ...DONE, 'rear-body.as-found.cfgdump': FOUND.replace(/^@taken.*\n/m, '') };
    const digests = cardOf([[undated['rear-body.as-found.cfgdump'], PLANNED]]);
    const steps = await stepsIn({ ...undated, 'x.job-card.md': digests });
    assert.equal(
      steps.find((line) => !line.startsWith('done')),
      'next readBack: "@taken" is missing in rear-body.as-found.cfgdump. [open rear-body.as-found.cfgdump]',
    );
    assert.ok(!steps.some((line) => line.startsWith('done verified')));
  });

  it('wait where several dumps may be the module, and say which', async () => {
    const second = { ...DONE, 'second.cfgdump': PLANNED };
    assert.match(
      await next(second),
      /^stuck broughtIn: Several dumps .*rear-body\.cfgdump, second\.cfgdump\. Keep the one/,
    );
    assert.equal((await stepsIn(second)).filter((line) => line.startsWith('done')).length, 0);
    // A reading without its time may be the module as it is now.
    const undated = { ...DONE, 'undated.cfgdump': BACK.replace(/^@taken.*\n/m, '') };
    assert.match(await next(undated), /^next broughtIn: Several dumps .* \[describe undated\.cfgdump\]$/);
  });

  it('wait for the files that cannot be read: they may be another dump, card or reading of this job', async () => {
    for (const name of ['other.cfgdump', 'other.job-card.md']) {
      const steps = await stepsIn({ ...DONE, [name]: { fails: 'EACCES' } });
      const openSteps = steps.filter((line) => !line.startsWith('done'));
      assert.deepEqual(
        openSteps.map((line) => line.replace(/:.*/, '')),
        ['next card', 'later verified', 'later recorded'],
      );
      assert.match(openSteps[0] ?? '', /cannot be read: not allowed/);
    }
  });

  it('begin with the sealed backup where nothing else is left of a module', async () => {
    const files = { ...PROFILE, 'rear-body.as-found.cfgdump': FOUND };
    assert.match(await next(files), /^next broughtIn: Only the sealed backup .* \[bringBack rear-body\.as-found/);
  });

  it('are of the vehicle and module that the dumps say; a backup goes with the dump that names it', async () => {
    const nameless = (text: string) => text.replace(/^@v(?:in|ehicle).*\n/gm, '');
    const files = {
      ...Object.fromEntries(
        ['cluster.cfgdump', 'cluster.as-found.cfgdump', 'cluster.dump-profile.json'].map((name) => [
          name,
          demoFile(name),
        ]),
      ),
      ...DONE,
      'b/rear-body.dump-profile.json': demoFile('rear-body.dump-profile.json'),
      'b/rear-body.as-found.cfgdump': nameless(FOUND),
      'b/rear-body.cfgdump': nameless(PLANNED),
    };
    const jobs = await jobsIn(files);
    assert.deepEqual(
      jobs.map(({ title, modules }) => [title, ...modules.map((module) => module.title)]),
      [
        ['rear-body.as-found.cfgdump', 'Rear body module (demo)'],
        ['stock no. 2041', 'Instrument cluster (demo)', 'Rear body module (demo)'],
      ],
    );
  });

  describe('of the record', () => {
    /** The steps of the module of the rear body that are done. */
    const doneIn = async (files: Files, unsaved?: readonly string[]) => {
      const modules = (await jobsIn(files, unsaved)).flatMap((job) => job.modules);
      const steps = modules.find(({ file }) => file === at('rear-body.cfgdump'))?.steps ?? [];
      const says = (id: string) => say(steps.find((step) => step.id === id)?.says ?? phrase(''));
      return { ids: steps.flatMap(({ id, isDone }) => (isDone ? id : [])), says };
    };
    const SHOWN = demoFile('cluster.as-found.cfgdump')
      .replace(/^@(?:seal|absent).*\n/gm, '')
      .replace(/^@taken.*/m, '@backup cluster.as-found.cfgdump')
      .replace('0800 0210 3800 | 60', '0800 1210 3800 | 50')
      .replace('0A BB', 'FA BA');
    const CLUSTER = {
      'cluster.dump-profile.json': demoFile('cluster.dump-profile.json'),
      'cluster.as-found.cfgdump': demoFile('cluster.as-found.cfgdump'),
      'cluster.cfgdump': SHOWN,
    };
    const CLUSTER_BACK = { 'cluster.read-back.cfgdump': SHOWN.replace(/^@backup.*/m, '@taken 2026-03-02T11:05:00Z') };

    it('are open while any module of the vehicle is', async () => {
      const { ids, says } = await doneIn({ ...DONE, ...CLUSTER });
      assert.ok(ids.includes('verified'), says('verified'));
      assert.ok(!ids.includes('recorded'));
      assert.match(
        says('recorded'),
        /^Instrument cluster \(demo\): cluster\.cfgdump is changed, and no reading here proves/,
      );
      const all = { ...DONE, ...CLUSTER, ...CLUSTER_BACK };
      const proved = await doneIn(all);
      assert.ok(proved.ids.includes('recorded'), proved.says('recorded'));
      const unsaved = await doneIn(all, ['cluster.cfgdump']);
      assert.ok(!unsaved.ids.includes('recorded'));
      assert.match(unsaved.says('recorded'), /cluster\.cfgdump is not saved yet/);
    });

    it('are open, as is the proof, for a later reading whose module nobody can tell', async () => {
      const later = BACK.replace('T11:02', 'T12:02').replace('03 21 7F  00 FF | A8', '03 01 7F  00 FF | 88');
      for (const stray of [
        later.replace(/^@profile.*\n/m, ''),
        later.replace(/^@profile.*\n/m, '').replace(/^@part.*\n/m, ''),
        later.replace(/^@profile.*/m, '@profile gone.dump-profile.json'),
        later.replace(/^@v.*\n/gm, ''),
        later.replace(/^@profile.*\n/m, '').replace(/^@taken.*/m, '@taken 2026-03-02'),
        // In a form of which no line is read without its profile.
        later.replace(/^@profile.*\n/m, '').replace(/^ *([0-9A-F]+):/gm, 'B1/R$1'),
      ]) {
        const { ids, says } = await doneIn({ ...DONE, 'stray.cfgdump': stray });
        assert.deepEqual([ids.includes('verified'), ids.includes('recorded')], [false, false], stray.slice(0, 200));
        assert.match(
          says('verified'),
          /rear-body\.read-back\.cfgdump verified it, but stray\.cfgdump may be a later reading/,
        );
        assert.match(says('recorded'), /stray\.cfgdump/);
      }
      const early = later.replace(/^@profile.*\n/m, '').replace('T12:02', 'T10:02');
      const other = later.replace(/^@profile.*\n/m, '').replace(/^@part.*/m, '@part XX-1');
      for (const known of [early, other])
        assert.ok((await doneIn({ ...DONE, 'stray.cfgdump': known })).ids.includes('verified'));
    });

    it('lead from such a reading to what it is, and are done once it says that it is none', async () => {
      const later = BACK.replace('T11:02', 'T12:02').replace('03 21 7F  00 FF | A8', '03 01 7F  00 FF | 88');
      const stray = later.replace(/^@profile.*\n/m, '');
      const files = { ...DONE, 'stray.cfgdump': stray };
      const jobs = await jobsIn(files);
      const step = jobs
        .flatMap(({ modules }) => modules.flatMap(({ steps }) => steps))
        .find(({ id, isDone }) => id === 'verified' && !isDone);
      assert.deepEqual(step?.action, { does: 'sayUse', file: at('stray.cfgdump'), other: at('rear-body.cfgdump') });
      for (const use of ['another-module', 'comparison', 'Comparison']) {
        const { ids } = await doneIn({ ...DONE, 'stray.cfgdump': `@use ${use}\n${stray}` });
        assert.deepEqual([ids.includes('verified'), ids.includes('recorded')], [true, use !== 'another-module'], use);
      }
      assert.ok(!(await doneIn({ ...DONE, 'stray.cfgdump': `@use work\n${stray}` })).ids.includes('verified'));
    });

    it('have no backup in a dump that is set aside, or does not say clearly what it is here for', async () => {
      assert.ok((await doneIn(DONE)).ids.includes('backup'));
      const name = 'rear-body.as-found.cfgdump';
      for (const use of ['comparison', 'another-module', 'comparision', '']) {
        const files = { ...DONE, [name]: `@use ${use}\n${DONE[name]}` };
        const { ids } = await doneIn(files);
        assert.deepEqual([ids.includes('backup'), ids.includes('verified')], [false, false], use);
      }
    });

    it('are open while the file of a dump does not say yet that it is only to compare with', async () => {
      const files = { ...DONE, 'donor.cfgdump': `@use comparison\n${BACK}` };
      assert.ok((await doneIn(files)).ids.includes('recorded'));
      const { ids, says } = await doneIn(files, ['donor.cfgdump']);
      assert.ok(!ids.includes('recorded'));
      assert.match(says('recorded'), /donor\.cfgdump is not saved yet/);
    });

    it('are open for a retrofit that asks for what no profile knows', async () => {
      const odd = RETROFIT['socket.retrofit.json'].replace('trailer-socket', 'trailer-sockett');
      const { ids, says } = await doneIn({ ...DONE, 'socket.retrofit.json': odd });
      assert.ok(!ids.includes('change') && !ids.includes('recorded'));
      assert.match(says('recorded'), /^socket\.retrofit\.json has problems; .*trailer-socket/);
    });
  });

  it('are computed anew where anything that they depend on has changed, and only there', async () => {
    const other = (text: string) => text.replaceAll('2041', '2077').replace('TA020418', 'TA020419');
    const input = await inputOf({ ...DONE, 'b.as-found.cfgdump': other(FOUND), 'b.cfgdump': other(PLANNED) });
    const before = finish(jobSteps(input));
    assert.equal(before.vehicles.length, 2);
    const kept = (now: JobInput) => {
      const { vehicles } = finish(jobSteps(now, before));
      return vehicles.map((vehicle, at) => vehicle === before.vehicles[at]);
    };
    assert.deepEqual(kept(input), [true, true]);
    const isOwn = ({ name }: JobDump) => name === 'b.cfgdump';
    assert.deepEqual(kept({ ...input, dumps: input.dumps.map((one) => (isOwn(one) ? { ...one } : one)) }), [
      false,
      true,
    ]);
    assert.deepEqual(kept({ ...input, isSaved: (file) => !file.endsWith('/b.cfgdump') }), [false, true]);
    assert.deepEqual(kept({ ...input, isOutside: (file) => file.endsWith('/b.cfgdump') }), [false, true]);
    for (const change of [{ cards: [] }, { unread: [{ file: undefined, says: phrase('odd') }] }])
      assert.deepEqual(kept({ ...input, ...change }), [false, false]);
  });

  it('are computed anew where what was read back is wrong and the dumps beside it have changed', async () => {
    const donor = `@use comparison\n${BACK.replace(/^@(?:vehicle|vin|taken).*\n/gm, '')}`;
    const isKept = async (back: string) => {
      const input = await inputOf({ ...DONE, 'rear-body.read-back.cfgdump': back, 'donor.cfgdump': donor });
      const before = finish(jobSteps(input));
      const dumps = input.dumps.map((one) => (one.name === 'donor.cfgdump' ? { ...one } : one));
      return finish(jobSteps({ ...input, dumps }, before)).vehicles[0] === before.vehicles[0];
    };
    assert.equal(await isKept(BACK), true);
    assert.equal(await isKept(BACK.replace('00 6E 21 20  5D C4 | D4', '00 6F 21 20  5D C4 | D5')), false);
  });

  it('are of two modules where their profiles have the same title, as drafts do', async () => {
    const draft = demoFile('rear-body.dump-profile.json').replace('Rear body module (demo)', 'Draft');
    const [job] = await jobsIn({
      'a.dump-profile.json': draft,
      'b.dump-profile.json': draft,
      'a.cfgdump': READ.replace('rear-body.dump', 'a.dump'),
      'b.cfgdump': READ.replace('rear-body.dump', 'b.dump'),
    });
    assert.deepEqual(
      job?.modules.map(({ file }) => file),
      [at('a.cfgdump'), at('b.cfgdump')],
    );
  });

  it('are of one module where its profile has no title, whatever its files are called', async () => {
    const { title, ...profile } = JSON.parse(demoFile('rear-body.dump-profile.json'));
    void title;
    const files = { ...DONE, 'rear-body.dump-profile.json': JSON.stringify(profile) };
    const bare = Object.fromEntries(
      Object.entries(files).map(([name, text]) => [name, text.replace(/^@part.*\n/m, '')]),
    );
    const digests = cardOf([[bare['rear-body.as-found.cfgdump'] ?? '', bare['rear-body.cfgdump'] ?? '']]);
    const [job] = await jobsIn({ ...bare, 'x.job-card.md': digests });
    assert.deepEqual(
      job?.modules.map((module) => [module.title, module.steps.every(({ isDone }) => isDone)]),
      [['rear-body', true]],
    );
  });
});
