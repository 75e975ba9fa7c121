import assert from 'node:assert/strict';
import { mkdirSync, rmSync, symlinkSync } from 'node:fs';
import { describe, it } from 'mocha';
import { leftPlans } from '../../server/src/files/journals.js';
import { type Machine, thisMachine } from '../../server/src/files/machine.js';
import { done, refuse, say } from '../../shared-core/src/base/index.js';
import { JOURNAL_NAME, journalText } from '../../shared-core/src/jobs/index.js';
import { type Host, reasonOf } from '../../shared-core/src/workspace/index.js';
import { bench } from '../support/commandLine.js';
import { runCommand } from '../support/inProcess.js';
import { run } from '../support/runs.js';

const PROFILE = JSON.stringify({ format: 1, lines: { from: 1, to: 1, data: 1, sum: 0 } });
const dump = (value: string, head = '') => `@profile own.dump-profile.json\n${head}1: ${value}\n`;
const MODULES = [
  { file: 'a.cfgdump', before: dump('00'), after: dump('01') },
  { file: 'b.cfgdump', before: dump('02'), after: dump('03') },
];

describe('a plan that was cut short', () => {
  const { path, read, write, names, folder, everything } = bench('empty');
  const leave = (where = '', modules = MODULES) => {
    write('own.dump-profile.json', PROFILE);
    for (const { file, before } of modules) write(file, before);
    write(`${where}${JOURNAL_NAME}`, journalText({ host: thisMachine().host, pid: 1, modules }));
  };
  const plans = (machine: Machine = run(2), folders = [folder()]) => leftPlans(machine, folders);
  const only = async (machine?: Machine, folders?: string[]) => {
    const [plan, ...others] = await plans(machine, folders);
    assert.deepEqual(others, []);
    return plan ?? assert.fail('no plan was found');
  };

  it('counts from folders above only where it is the own, or where nobody can tell; in the folder itself always', async () => {
    mkdirSync(path('sub'));
    mkdirSync(path('other'));
    leave(
      '',
      MODULES.map((module) => ({ ...module, file: `sub/${module.file}` })),
    );
    const own = thisMachine().uid ?? assert.fail('the system tells no owners');
    for (const [uid, above] of [
      [own, 1],
      [own + 1, 0],
      [undefined, 1],
    ] as const) {
      const machine = { ...run(2), uid };
      assert.equal((await plans(machine, [path('sub')])).length, above, `${uid}`);
      assert.equal((await plans(machine)).length, 1);
      assert.equal((await plans(machine, [path('other')])).length, 0, 'none of its modules is there');
    }
  });

  it('says which modules it is about, and whether they can be relied on', async () => {
    leave();
    const before = await only();
    assert.match(say(before.says), /before it changed anything: a\.cfgdump, b\.cfgdump are as they were/);
    assert.equal(before.isHalf, false);
    write('a.cfgdump', dump('01'));
    assert.deepEqual([(await only()).isHalf, (await only()).isLeft], [true, true]);
    write('b.cfgdump', dump('03'));
    assert.equal((await only()).isHalf, false);
    write('b.cfgdump', dump('07'));
    const changed = await only();
    assert.equal(changed.isHalf, true);
    assert.match(say(changed.says), /b\.cfgdump was changed since/);
  });

  it('is waited for while its run is under way, for five seconds; where it ends meanwhile there is none', async () => {
    leave();
    let waited = 0;
    const busy = {
      ...run(2, { alive: [1, 2] }),
      wait: (milliseconds: number) => {
        waited += milliseconds;
      },
    };
    assert.match(say((await only(busy)).says), /Another run is writing the modules/);
    assert.equal(waited, 5000);
    const ends = { ...busy, wait: () => busy.fs.unlinkSync(path(JOURNAL_NAME)) };
    assert.deepEqual(await plans(ends), []);
  });

  it('lets nothing beside it be called good while its journal cannot be read, is a folder or a link', async () => {
    const make: readonly (() => void)[] = [
      () => write(JOURNAL_NAME, '{'),
      () => mkdirSync(path(JOURNAL_NAME)),
      () => symlinkSync('other.json', path(JOURNAL_NAME)),
    ];
    for (const put of make) {
      leave();
      write('other.json', read(JOURNAL_NAME));
      rmSync(path(JOURNAL_NAME));
      assert.equal((await runCommand(['check', path('a.cfgdump'), path('b.cfgdump')])).status, 0);
      put();
      const { status, text, notes } = await runCommand(['check', path('a.cfgdump')]);
      assert.notEqual(status, 0);
      assert.doesNotMatch(text, /all good/);
      assert.match(text + notes, /no journal of a plan that can be read/);
      rmSync(path(JOURNAL_NAME), { recursive: true });
    }
  });

  it('is among what is open in a card of its modules and in the record of their folder', async () => {
    leave();
    write('a.cfgdump', dump('01'));
    write('found.cfgdump', dump('00'));
    // How long a run that is under way is waited for is another matter.
    const beside = run(2, { alive: [1, 2] });
    for (const args of [
      ['card', path('found.cfgdump'), path('a.cfgdump')],
      ['record', folder()],
    ]) {
      const { status, text } = await runCommand([...args, '--json'], beside);
      assert.equal(status, 1);
      assert.match(
        JSON.parse(text).open.join('\n'),
        /a\.cfgdump: Another run is writing the modules in .*, or was cut short there/,
      );
    }
    const page = (await runCommand(['card', path('found.cfgdump'), path('a.cfgdump')], beside)).text;
    assert.match(page.split('## Do not write yet')[1] ?? '', /or was cut short there/);
  });

  /** The disk, with a file that is another one when it is read for the so-many-th time. */
  const changingAt = (time: number): Host => {
    const { disk } = thisMachine();
    let opened = 0;
    return {
      ...disk,
      open: async (uri, allowed) => {
        const file = await disk.open(uri, allowed);
        if (!file.ok || !uri.endsWith('a.cfgdump') || ++opened !== time) return file;
        return done({
          ...file.value,
          close: () => {
            file.value.close();
            return refuse(reasonOf('EIO'));
          },
        });
      },
    };
  };

  it('is neither finished nor undone where a module changes while it is read, however often it was read before', async () => {
    leave();
    write('a.cfgdump', dump('01'));
    const before = everything();
    assert.match(say((await only({ ...run(2), disk: changingAt(1) })).says), /a\.cfgdump was changed since/);
    let reads = 2;
    for (; ; reads++) {
      const plan = await only({ ...run(2), disk: changingAt(reads) });
      if ((await plan.settle('finish', {})).ok) break;
      assert.deepEqual(everything(), before, String(reads));
    }
    assert.ok(reads > 3, String(reads));
    assert.ok(!names().includes(JOURNAL_NAME));
  });

  it('is neither where a module holds bytes that are no text: what was read is not what is there', async () => {
    const head = '# K\ufffd\x01fer\n';
    const modules = [
      { file: 'a.cfgdump', before: dump('00', head), after: dump('01', head) },
      { file: 'b.cfgdump', before: dump('02'), after: dump('03') },
    ];
    leave('', modules);
    rmSync(path('a.cfgdump'));
    write('a.cfgdump', Buffer.from(dump('00', '# K\xe4\x01fer\n'), 'latin1'));
    write('b.cfgdump', dump('03'));
    const plan = await only();
    const settled = await plan.settle('finish', {});
    assert.match(settled.ok ? 'settled' : say(settled.why), /a\.cfgdump was changed since/);
  });
});
