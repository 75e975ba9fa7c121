// The view that leads through a job, in a played editor: what it says in each state, and that its entries act on the
// dump of the step.
import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import { afterEach, describe, it } from 'mocha';
import { type ClientSession, clientSession } from '../support/clientSession.js';
import { Range, window, workspace } from '../support/fakeEditor.js';
import { NUMBERED_PROFILE, numberedList } from '../support/numberedList.js';

const VIEW = 'countersum.job';
const FILES = Object.fromEntries(
  readdirSync('examples/trailer-socket').map((name) => [name, readFileSync(`examples/trailer-socket/${name}`, 'utf8')]),
);
const without = (...names: readonly string[]) =>
  Object.fromEntries(Object.entries(FILES).filter(([name]) => !names.includes(name)));
const RETROFIT = 'trailer-socket.retrofit.json';
const DUMP = 'rear-body.cfgdump';
const SAY = 'Name Vehicle and Time…';

interface Entry {
  readonly label: string;
  readonly says: string;
  readonly spoken: string;
  readonly icon: string | undefined;
  readonly press: () => Promise<void>;
}

/** Waits for what comes after a pause, as the view follows changes. */
async function until(holds: () => boolean): Promise<void> {
  for (let tries = 0; !holds(); tries++) {
    assert.ok(tries < 1200, `waited for: ${holds}`);
    await new Promise((resolve) => setTimeout(resolve, 10));
  }
}

describe('the job view', function () {
  this.timeout(20_000);
  let session: ClientSession;
  afterEach(() => session.stop());

  const provider = () => session.editor.trees.get(VIEW)?.provider;
  /** All entries, those below one behind it. */
  const entries = (node?: unknown): readonly Entry[] =>
    (provider()?.getChildren(node) ?? []).flatMap((child) => {
      const item = provider()?.getTreeItem(child);
      const { command, iconPath } = item ?? {};
      const press = async () => {
        assert.ok(command, `${item?.label} does nothing`);
        const given = command.arguments ?? [];
        if (command.command === 'countersum._readStep') return session.run('_readStep', ...given);
        assert.equal(command.command, 'countersum._jobStep');
        await session.run('_jobStep', ...given);
      };
      const spoken = item?.accessibilityInformation?.label ?? '';
      return [
        { label: item?.label ?? '', says: item?.description ?? '', spoken, icon: iconPath?.id, press },
        ...entries(child),
      ];
    });
  const nodes = (node?: unknown): readonly { readonly kind: string }[] =>
    (provider()?.getChildren(node) ?? []).flatMap((child) => [child as { readonly kind: string }, ...nodes(child)]);
  const labels = () => entries().map(({ label }) => label);
  const message = () => session.editor.in(`${VIEW} message`).at(-1) ?? '';
  const shown = async (label: string): Promise<Entry> => {
    await until(() => labels().includes(label));
    return entries().find((entry) => entry.label === label) as Entry;
  };
  /** What is in a file, whatever the editor shows of it. */
  const kept = (name: string) => new TextDecoder().decode(session.editor.files.get(`file:///cars/${name}`));
  const spokenOf = (start: string) => entries().find(({ spoken }) => spoken.startsWith(start))?.spoken;

  it('has nothing to list where there is no dump, so that the editor shows how to begin', async () => {
    session = await clientSession({});
    await until(() => session.editor.contexts.get(VIEW) !== undefined);
    assert.equal(session.editor.contexts.get(VIEW), 'none');
    assert.deepEqual(labels(), []);
  });

  it('says at once that it looks, and does so until it knows', async () => {
    session = await clientSession(without(RETROFIT));
    await shown('Correct All Checksums');
    const said = session.editor.in(`${VIEW} message`);
    assert.equal(said[0], 'Looking through the folder…');
    assert.deepEqual(session.editor.in('progress'), [VIEW]);
    assert.ok(!said.slice(1).includes('Looking through the folder…'));
  });

  it('stays at the module at hand while another file is in front, such as one to compare with', async () => {
    session = await clientSession({
      ...without(RETROFIT),
      'donor.cfgdump': '@vehicle donor\n@use comparison\n1: 00\n',
    });
    await session.open(DUMP);
    await until(() => message().startsWith('Rear body'));
    await session.open('cluster.cfgdump');
    await until(() => message().startsWith('Instrument cluster'));
    await session.open(DUMP);
    await until(() => message().startsWith('Rear body'));
    const before = session.editor.in(`${VIEW} message`).length;
    await session.open('donor.cfgdump');
    session.type('donor.cfgdump', '# typed\n');
    await shown('Save Them');
    assert.ok(
      session.editor
        .in(`${VIEW} message`)
        .slice(before)
        .every((said) => said.startsWith('Rear body')),
    );
  });

  it('names a file once that has no profile yet', async () => {
    session = await clientSession({ 'own.cfgdump': '@vehicle stock no. 7\n@taken 2026-03-02\n1: 00 | 01\n' });
    await session.open('own.cfgdump');
    await shown('Work Out the Checksum Rule');
    assert.equal(message(), 'own.cfgdump has no profile yet. …');
  });

  it('offers the profile that explains such a file first, which the step and its button say', async () => {
    session = await clientSession({
      'roof.dump-profile.json': JSON.stringify(NUMBERED_PROFILE),
      'second.cfgdump': `@vehicle stock no. 8\n@taken 2026-03-02\n${numberedList()}`,
    });
    await session.open('second.cfgdump');
    await shown('Name the Profile…');
    assert.equal(message(), 'second.cfgdump has no profile yet, but roof.dump-profile.json explains all of it.');
    const offered: string[] = [];
    session.editor.person.pick = ({ items }) => {
      offered.push(...items.map(({ label }) => label));
      return items.slice(0, 1).map(({ label }) => label);
    };
    await entries()
      .find(({ label }) => label === 'Name the Profile…')
      ?.press();
    assert.deepEqual(offered, ['Name roof.dump-profile.json in the dump', 'Learn all the same']);
    assert.match(session.text('second.cfgdump'), /^@profile roof\.dump-profile\.json$/m);
  });

  it('lists the modules of one vehicle with their steps, and says in full what is next', async () => {
    session = await clientSession(without(RETROFIT));
    await session.open(DUMP);
    await shown('Correct All Checksums');
    await until(() => message().startsWith('Rear body'));
    assert.equal(session.editor.in(`${VIEW} description`).at(-1), 'stock no. 2041');
    assert.match(message(), /^Rear body module \(demo\) – Line 4: its sum is 88, its bytes make A8/);
    assert.match(spokenOf('Backup sealed') ?? '', /^Backup sealed, done: rear-body|^Backup sealed, done: cluster/);
    assert.match(spokenOf('Rear body') ?? '', /^Rear body module \(demo\): 4 of 9 done, next: Everything right$/);
    for (const { label, spoken, icon } of entries()) assert.ok(spoken !== '' && icon !== undefined, label);
  });

  it('has an entry behind the button that says in full what the side bar cuts off', async () => {
    session = await clientSession(without(RETROFIT));
    await session.open(DUMP);
    await shown('Correct All Checksums');
    await until(() => /^Rear body.* …$/.test(message()));
    const listed = entries();
    const inFull = listed[listed.findIndex(({ label }) => label === 'Correct All Checksums') + 1];
    assert.equal(inFull?.label, 'Read It in Full');
    await inFull?.press();
    const said = session.editor.in('modal').join();
    assert.match(said, /^Everything right/);
    assert.match(
      session.editor.in('modal detail').join(),
      /Line 4: its sum is 88, its bytes make A8.* Open in all: \d+\.$/,
    );
  });

  it('keeps the button of the next step in sight, without taking the cursor', async () => {
    session = await clientSession(without(RETROFIT));
    await session.open(DUMP);
    await shown('Correct All Checksums');
    const revealed = () => session.editor.in(`${VIEW} revealed`);
    await until(() => revealed().at(-1) === 'Correct All Checksums');
    const count = revealed().length;
    await (await shown('Correct All Checksums')).press();
    await until(() => revealed().length > count);
    assert.equal(revealed().at(-1), 'Make and Keep the Job Card');
    const provide = provider();
    for (const node of provide?.getChildren() ?? []) {
      assert.equal(provide?.getParent?.(node), undefined);
      const [step] = provide?.getChildren(node) ?? [];
      assert.equal(provide?.getTreeItem(provide.getParent?.(step)).label, provide?.getTreeItem(node).label);
    }
  });

  it('brings the next step into sight again with each change of what is shown of its module, also where that failed', async () => {
    session = await clientSession(without(RETROFIT));
    await session.open(DUMP);
    const revealed = () => session.editor.in(`${VIEW} revealed`);
    await until(() => revealed().at(-1) === 'Correct All Checksums');
    /** Types a digit by which another step is open for another reason, while the next one stays; how often it was shown before. */
    const retyped = async (digits: string) => {
      const [before, said] = [revealed().length, JSON.stringify(entries())];
      session.type(
        DUMP,
        session.text(DUMP).replace(/^( 4: .. ..) ../m, (_, start: string) => `${start} ${digits}`),
      );
      await until(() => JSON.stringify(entries()) !== said);
      return before;
    };
    await retyped('20');
    await until(() => revealed().at(-1) === 'Save the File');
    const count = await retyped('22');
    await until(() => revealed().length > count);
    assert.equal(revealed().at(-1), 'Save the File');
    const failing = Promise.reject(new Error('The list has changed.'));
    failing.catch(() => undefined);
    session.editor.beforeReveal = failing;
    const failed = await retyped('23');
    await new Promise((resolve) => setTimeout(resolve, 300));
    assert.equal(revealed().length, failed);
    session.editor.beforeReveal = Promise.resolve();
    await session.open('cluster.cfgdump');
    await session.open(DUMP);
    await until(() => revealed().length > failed);
  });

  it('says in a narrow side bar too what is next, by its message, short names of steps and the tip of its step', async () => {
    session = await clientSession(without(RETROFIT));
    await session.open(DUMP);
    await shown('Correct All Checksums');
    await until(() => /^Rear body module \(demo\) – Line 4: .*makes? A8/.test(message()));
    const items = nodes().map((node) => ({ node, item: provider()?.getTreeItem(node) }));
    for (const { node, item } of items)
      if (node.kind === 'step') assert.ok((item?.label ?? '').length <= 18, item?.label);
    const button = items.find(({ item }) => item?.label === 'Correct All Checksums');
    // The tip of the button would cover the rows below; that of the step says all.
    assert.equal(button?.item?.tooltip, '');
    const step = items.find(({ item }) =>
      /^Everything right: rear-body\.cfgdump: .*its sum is 88/.test(`${item?.tooltip}`),
    );
    assert.ok(step);
    assert.equal(step?.item?.command?.command, button?.item?.command?.command);
    assert.equal(session.editor.in(`${VIEW} revealed`).at(-1), 'Correct All Checksums');
  });

  it('calls a vehicle that no dump names so, and not like the file below it', async () => {
    session = await clientSession({
      'own.cfgdump': '@vehicle stock no. 7\n@taken 2026-03-02\n1: 00 | 01\n',
      'found.cfgdump': '1: 00 | 01\n',
    });
    await until(() => labels().includes('found.cfgdump'));
    assert.equal(labels().filter((label) => label === 'found.cfgdump').length, 1);
    assert.ok(labels().includes('Vehicle not named yet') && labels().includes('stock no. 7'), labels().join());
    assert.match(spokenOf('Vehicle not') ?? '', /^Vehicle not named yet: 0 of 1 done$/);
    assert.match(spokenOf('Vehicle stock') ?? '', /^Vehicle stock no\. 7: 0 of 1 done$/);
  });

  it('shows done, next, and later steps by icons of different shape', async () => {
    session = await clientSession(without(RETROFIT));
    await shown('Correct All Checksums');
    const icons = new Set(entries().map(({ icon }) => icon));
    for (const icon of ['pass', 'circle-filled', 'circle-outline', 'play-circle']) assert.ok(icons.has(icon), icon);
  });

  it('never counts less after a step than before it', async () => {
    const found = (FILES['rear-body.as-found.cfgdump'] ?? '').replace(/^@(?:seal|absent).*\n/gm, '');
    session = await clientSession({
      'rear-body.dump-profile.json': FILES['rear-body.dump-profile.json'] ?? '',
      [DUMP]: found,
    });
    const counted = () =>
      nodes().flatMap((node) => (node.kind === 'module' ? provider()?.getTreeItem(node).description : []));
    const make = await shown('Make a Backup');
    assert.deepEqual(counted(), ['2/9']);
    assert.ok(!entries().some(({ spoken }) => spoken.startsWith('Everything right, done')));
    await make.press();
    await until(() => labels().includes('Set an Option and Save…'));
    assert.deepEqual(counted(), ['3/9']);
  });

  it('warns at the read-back where it is not what was planned', async () => {
    const cluster = Object.keys(FILES).filter((name) => name.startsWith('cluster'));
    const planned = (FILES[DUMP] ?? '').replace('00 FF | 88', '00 FF | A8').replace('FF 5C | 75', 'FF 3C | 55');
    const iconWhere = async (back: string) => {
      session = await clientSession({
        ...without(RETROFIT, ...cluster),
        [DUMP]: planned,
        'rear-body.read-back.cfgdump': planned
          .replace(/^@backup.*/m, '@taken 2026-03-02T18:20:00Z')
          .replace(/^total.*/m, back),
      });
      await (await shown('Make and Keep the Job Card')).press();
      await until(() => entries().some(({ spoken }) => /^Read-back verified, (?:done|next)/.test(spoken)));
      const { icon } = await shown('Read-back verified');
      await session.stop();
      return icon;
    };
    assert.equal(await iconWhere('total: 21 B2'), 'pass');
    assert.equal(await iconWhere('total: 21 D3'), 'warning');
    session = await clientSession({});
  });

  it('acts on the dump of the step, which it opens first', async () => {
    session = await clientSession(without(RETROFIT));
    await session.open('cluster.cfgdump');
    await (await shown('Correct All Checksums')).press();
    assert.match(session.text(DUMP), /^17: 10 00 FF 00 {2}FF 3C \| 55$/m);
    assert.equal(session.text('cluster.cfgdump'), FILES['cluster.cfgdump']);
    await shown('Make and Keep the Job Card');
  });

  it('saves what a button has written, as the next step and other programs read the file', async () => {
    session = await clientSession(without(RETROFIT));
    await (await shown('Correct All Checksums')).press();
    assert.match(kept(DUMP), /FF 3C \| 55/);
    assert.match(session.editor.in('status bar').at(-1) ?? '', /\. Saved: rear-body\.cfgdump\.$/m);
    await shown('Make and Keep the Job Card');
    assert.ok(!labels().includes('Save the File'));
  });

  it('never saves what a person has typed and not saved', async () => {
    session = await clientSession(without(RETROFIT));
    await session.open(DUMP);
    const correct = await shown('Correct All Checksums');
    session.type(DUMP, '# typed\n');
    await correct.press();
    assert.match(session.text(DUMP), /FF 3C \| 55/);
    assert.equal(kept(DUMP), FILES[DUMP]);
    const said = session.editor.in('status bar').at(-1) ?? '';
    assert.match(said, / Still unsaved: rear-body\.cfgdump\.$/);
    await (await shown('Save the File')).press();
    assert.match(kept(DUMP), /FF 3C \| 55/);
  });

  it('leaves what a command has written unsaved, as the person has not asked for more', async () => {
    session = await clientSession(without(RETROFIT));
    await session.open(DUMP);
    await session.run('correctChecksums');
    assert.match(session.text(DUMP), /FF 3C \| 55/);
    assert.equal(kept(DUMP), FILES[DUMP]);
  });

  it('saves what names a backup and a profile too', async () => {
    const found = (FILES['rear-body.as-found.cfgdump'] ?? '').replace(/^@(?:seal|profile|backup).*\n/gm, '');
    const profile = 'rear-body.dump-profile.json';
    session = await clientSession({ [DUMP]: found, [profile]: FILES[profile] ?? '' });
    session.editor.person.pick = ({ items }) => [items[0]?.label ?? ''];
    await (await shown('Name the Profile…')).press();
    assert.match(kept(DUMP), /^@profile rear-body\.dump-profile\.json$/m);
    assert.match(
      session.editor.in('status bar').join('\n'),
      /The dump names rear-body\.dump-profile\.json\. Saved: rear-body\.cfgdump\.$/,
    );
    await (await shown('Make a Backup')).press();
    assert.match(kept(DUMP), /^@backup rear-body\.backup\.cfgdump$/m);
    // One act, one notice, which is whole without a button.
    assert.deepEqual(session.editor.in('notice').slice(-1), ['Backup sealed: keep a second copy elsewhere.']);
    assert.match(session.editor.in('status bar').at(-1) ?? '', /Backup sealed.* Saved: rear-body\.cfgdump\.$/);
  });

  it('saves all modules of a plan, or none where one had unsaved changes', async () => {
    session = await clientSession(FILES);
    session.editor.person.notice = (_, buttons) => buttons[0];
    session.editor.person.modal = (_text, _detail, buttons) => buttons.at(-1);
    await session.open('cluster.cfgdump');
    const plan = await shown('Plan the Retrofit');
    session.type('cluster.cfgdump', '# typed\n');
    await plan.press();
    await until(() => session.editor.in('status bar').some((said) => /^\S* ?All modules are set\./.test(said)));
    assert.match(session.editor.in('status bar').at(-1) ?? '', /Still unsaved: cluster\.cfgdump\.$/);
    assert.equal(kept(DUMP), FILES[DUMP]);
    assert.notEqual(session.text(DUMP), FILES[DUMP]);
  });

  it('sets a module as planned as long as the plan is open, whatever became of the notice', async () => {
    session = await clientSession(FILES);
    await session.open('cluster.cfgdump');
    await shown('Plan the Retrofit');
    const set = await shown('Set as Planned');
    await set.press();
    assert.equal(kept(DUMP), FILES[DUMP], 'nothing is set without an answer');
    assert.match(session.editor.in('modal').at(-1) ?? '', /^Set all modules as the plan shows\?/);
    let asked = '';
    session.editor.person.modal = (_text, detail, buttons) => {
      asked = detail ?? '';
      return buttons.at(-1);
    };
    await set.press();
    assert.match(asked, /cluster\.cfgdump: Trailer tell-tale: from not shown to shown/);
    assert.match(asked, /rear-body\.cfgdump: .*Line/);
    assert.match(session.editor.in('status bar').at(-1) ?? '', /All modules are set\. Saved: 2 files\.$/);
    assert.notEqual(kept(DUMP), FILES[DUMP]);
    assert.match(session.editor.in('markdown').at(-1) ?? '', /^# /, 'the plan is shown too');
    await until(() => !labels().includes('Set as Planned'));
  });

  it('plans the retrofit of the folder for the vehicle of the step', async () => {
    const other = Object.fromEntries(
      Object.entries(FILES)
        .filter(([name]) => name.endsWith('.cfgdump'))
        .map(([name, text]) => [`other/${name}`, text.replace(/2041\b/g, '2042').replace('020418', '020429')]),
    );
    session = await clientSession({ ...FILES, ...other });
    await until(() => labels().includes('stock no. 2041'));
    const asked = session.asked.length;
    await (await shown('Plan the Retrofit')).press();
    const plan = session.asked.slice(asked).find(({ method }) => method === 'countersum/planRetrofit');
    assert.deepEqual(plan?.params, { uri: 'file:///cars/trailer-socket.retrofit.json', vehicle: '0DEM0T4X5TA020418' });
    assert.deepEqual(session.editor.in('list title'), []);
  });

  it('says how many vehicles there are, and opens the one that is worked on', async () => {
    const files = {
      'one.cfgdump': '@vehicle one\n@taken 2026-03-02\n1: 00 | 01\n',
      'two.cfgdump': '@vehicle two\n@taken 2026-03-02\n1: 00 | 01\n',
    };
    session = await clientSession(files);
    await until(() => /^There are 2 vehicles here\./.test(message()));
    assert.match(spokenOf('Vehicle one') ?? '', /^Vehicle one: 0 of 1 done$/);
    await session.open('two.cfgdump');
    await until(() => message().includes('two.cfgdump'));
    const states = (provider()?.getChildren() ?? []).map((node) => provider()?.getTreeItem(node).collapsibleState);
    assert.deepEqual(states, [1, 2]);
  });

  it('names what cannot be read before all else', async () => {
    session = await clientSession({ ...FILES, 'torn.retrofit.json': '{' });
    await until(() => labels()[0] === 'Cannot be read: 1');
    assert.equal(labels()[1], 'torn.retrofit.json');
    assert.match(entries()[0]?.spoken ?? '', /Nothing counts as proved/);
    await (await shown('torn.retrofit.json')).press();
    assert.equal(workspace.textDocuments.at(-1)?.uri.path, '/cars/torn.retrofit.json');
  });

  it('says that a folder cannot be listed', async () => {
    session = await clientSession(FILES);
    session.editor.files.set('file:///cars/closed/other.cfgdump', new Uint8Array());
    session.editor.closedFolders.add('file:///cars/closed');
    await session.open(DUMP);
    await until(() => labels()[1] === 'closed cannot be listed: not allowed');
  });

  it('takes away what it can no longer answer for, and says why', async () => {
    session = await clientSession(FILES);
    await session.open(DUMP);
    await until(() => labels().length > 0);
    session.instead.set('countersum/jobs', () => Promise.reject(new Error('the server is lost')));
    session.type(DUMP, '# typed\n');
    await until(() => labels().length === 0);
    assert.equal(message(), 'The steps of the job could not be worked out: the server is lost');
    assert.equal(session.editor.contexts.get(VIEW), 'failed');
    session.instead.clear();
    session.type(DUMP, '# typed\n');
    await until(() => labels().length > 0);
  });

  it('asks again where a text moves on while it is looked at', async () => {
    session = await clientSession(FILES);
    let asked = 0;
    session.instead.set('countersum/jobs', () => {
      asked++;
      return asked === 1 ? Promise.reject(Object.assign(new Error('moved on'), { code: -32801 })) : undefined;
    });
    session.tellState();
    await until(() => asked > 1 && labels().length > 0);
  });

  describe('brings in', () => {
    const way = (label: string, purpose = 'To work on') => {
      session.editor.person.pick = ({ items }) =>
        [label, purpose].flatMap((one) => (items.some((item) => item.label === one) ? [one] : [])).slice(0, 1);
    };
    const writing = (answers: Readonly<Record<string, string>>) => {
      session.editor.person.write = (title, value) =>
        Object.entries(answers).find(([start]) => title.startsWith(start))?.[1] ?? value;
    };

    it('a dump that is pasted: a new text that says its vehicle and time, with the cursor behind them', async () => {
      session = await clientSession({});
      way('Paste it');
      writing({ 'Which vehicle': 'stock no. 7', 'Which module': 'rear body', 'When was': '2026-03-02 9:14' });
      await session.run('bringIn');
      const document = workspace.textDocuments.at(-1);
      assert.equal(document?.uri.toString(), 'untitled:/cars/rear-body.cfgdump');
      const kept = new Date(2026, 2, 2, 9, 14).toISOString().replace(':00.000', '');
      assert.equal(document?.getText(), `@vehicle stock no. 7\n@taken ${kept}\n`);
      assert.match(session.editor.in('prompt').at(-1) ?? '', /^This is the time now: change it where/);
      assert.deepEqual(session.cursor(), { line: 2, character: 0 });
      await until(() => /Nothing is in rear-body\.cfgdump yet/.test(message()));
    });

    it('a dump that is only to compare with, which has no job until it is to be worked on', async () => {
      session = await clientSession({ 'own.cfgdump': '@vehicle stock no. 7\n@taken 2026-03-02\n1: 00 01 | 02\n' });
      session.editor.files.set('file:///stick/donor.cfgdump', new TextEncoder().encode('1: 00 02 | 03\n'));
      session.editor.person.file = () => 'file:///stick/donor.cfgdump';
      way('Choose a file…', 'Only to compare with');
      await until(() => labels().length > 0);
      const asked: string[] = [];
      session.editor.person.write = (title, value) => {
        asked.push(title, value);
        return 'donor A';
      };
      await session.run('bringIn');
      // Neither the vehicle that is worked on is offered nor a time asked that says nothing.
      assert.deepEqual(asked, ['Which vehicle is donor.cfgdump of?', '']);
      assert.match(session.text('donor.cfgdump'), /^@vehicle donor A\n@use comparison\n1: 00 02/);
      assert.equal(workspace.textDocuments.at(-1)?.isDirty, false);
      await until(() => labels().includes('For comparison only: 1'));
      assert.deepEqual(labels().slice(-2), ['For comparison only: 1', 'donor.cfgdump']);
      assert.equal(entries().at(-1)?.says, 'donor A');
      const compared = nodes().find(({ kind }) => kind === 'compared');
      await session.run('workOnDump', compared);
      assert.match(session.text('donor.cfgdump'), /^@vehicle donor A\n1: 00 02/);
      await until(() => !labels().includes('For comparison only: 1'));
    });

    it('several dumps to compare with at once, of each of which one thing is asked; who goes away keeps those before', async () => {
      session = await clientSession({});
      const names = ['a.cfgdump', 'b.cfgdump', 'c.cfgdump'];
      for (const [i, name] of names.entries())
        session.editor.files.set(`file:///stick/${name}`, new TextEncoder().encode(`1: 00 0${i} | 0${i}\n`));
      session.editor.files.set('file:///stick/odd.hex', new Uint8Array([1, 0, 2]));
      // One that cannot be brought in keeps none of the others out.
      session.editor.person.file = () => ['odd.hex', ...names].map((name) => `file:///stick/${name}`);
      way('Choose a file…', 'Only to compare with');
      session.editor.person.write = (title) => (title.includes('c.cfgdump') ? undefined : `of ${title.slice(17, 18)}`);
      await session.run('bringIn');
      assert.deepEqual(session.editor.in('file dialog'), ['Which files are the dumps?']);
      assert.equal(session.text('a.cfgdump'), '@vehicle of a\n@use comparison\n1: 00 00 | 00\n');
      assert.equal(session.text('b.cfgdump'), '@vehicle of b\n@use comparison\n1: 00 01 | 01\n');
      assert.equal(session.editor.files.has('file:///cars/c.cfgdump'), false);
    });

    it('nothing where a question is left empty, and says what is missing', async () => {
      session = await clientSession({});
      way('Paste it');
      writing({ 'Which vehicle': '  ' });
      await session.run('bringIn');
      assert.match(session.editor.in('verdict').at(-1) ?? '', /^Write what tells the vehicle from others/);
      writing({ 'Which vehicle': 'stock no. 7', 'Which module': '' });
      await session.run('bringIn');
      assert.equal(session.editor.in('verdict').at(-1), 'Write a name by which to find the file.');
      assert.equal(workspace.textDocuments.length, 0);
    });

    it('no pasted dump as the name of a vehicle or module: it says where that is pasted', async () => {
      session = await clientSession({});
      way('Paste it');
      // The box takes a text of many lines as one line.
      const pasted = `R100 21 4F 01 00 ${'00 '.repeat(400)}`;
      for (const [title, text] of [
        ['Which vehicle', pasted],
        ['Which module', 'R145 08 10 22 41 00 00 FF 3C'],
        ['Which module', '214F0100AA0055'.repeat(3)],
      ] as const) {
        writing({ 'Which vehicle': 'stock no. 7', [title]: text });
        await session.run('bringIn');
        const says = 'This looks like a dump, not like a name. The text to paste it into opens after these questions.';
        assert.equal(session.editor.in('verdict').at(-1), says);
      }
      assert.equal(workspace.textDocuments.length, 0);
      // What people call a car may well be made of such letters.
      const names = { 'Which vehicle': 'AB 12 CD 34 of the fleet', 'Which module': 'dead beef 00 11 22' };
      writing({ ...names, 'When was': '2026-03-02 9:14' });
      await session.run('bringIn');
      assert.match(workspace.textDocuments.at(-1)?.getText() ?? '', /^@vehicle AB 12 CD 34 of the fleet$/m);
    });

    it('dumps to compare with, whose list offers the profile that explains them until they name it', async () => {
      const bare = (FILES['rear-body.as-found.cfgdump'] ?? '').replace(/^[#@].*\n/gm, '');
      session = await clientSession({
        ...without(RETROFIT),
        'donor-1.cfgdump': `@use comparison\n${bare}`,
        'donor-2.cfgdump': `@use comparison\n${bare}`,
        'odd.cfgdump': '@use comparison\n1: 00 01 | 02\n',
      });
      const use = 'Use Profile in Similar Dumps';
      const button = await shown(use);
      assert.equal(button.says, `2, as ${DUMP}`);
      session.editor.person.modal = (_question, _detail, buttons) => buttons[0];
      await button.press();
      for (const name of ['donor-1.cfgdump', 'donor-2.cfgdump'])
        assert.match(session.text(name), /^@profile rear-body\.dump-profile\.json$/m);
      await until(() => !labels().includes(use));
    });

    it('other cars of the same module that name no profile, above the list', async () => {
      const bare = (FILES['rear-body.as-found.cfgdump'] ?? '').replace(/^@(?:seal|profile).*\n/gm, '');
      session = await clientSession({
        ...without(RETROFIT),
        'car-2.cfgdump': bare.replace(/^@vin.*$/m, '@vin car 2'),
        'car-3.cfgdump': bare.replace(/^@vin.*$/m, '@vin car 3'),
      });
      const button = await shown('Use Profile in Similar Dumps');
      assert.equal(button.says, `2, as ${DUMP}`);
    });

    it('a module back to those that are only to compare with', async () => {
      session = await clientSession({ 'own.cfgdump': '@vehicle stock no. 7\n@taken 2026-03-02\n1: 00 01 | 02\n' });
      await until(() => labels().length > 0);
      await session.run(
        'onlyToCompare',
        nodes().find(({ kind }) => kind === 'module'),
      );
      assert.match(session.text('own.cfgdump'), /^@use comparison$/m);
      const onDisk = new TextDecoder().decode(session.editor.files.get('file:///cars/own.cfgdump'));
      assert.equal(onDisk, session.text('own.cfgdump'), 'the steps go by the files');
      await until(() => labels().includes('For comparison only: 1'));
      assert.ok(!labels().includes('Dump brought in'));
    });

    it('of which vehicle a dump is that is only to compare with, or that nobody knows', async () => {
      session = await clientSession({ 'own.cfgdump': '1: 00 01 | 02\n', 'other.cfgdump': '1: 00 02 | 03\n' });
      const questions: string[] = [];
      let answer: string | undefined;
      session.editor.person.write = (title) => {
        questions.push(title);
        return answer;
      };
      await session.open('own.cfgdump');
      await session.run('onlyToCompare');
      assert.equal(session.text('own.cfgdump'), '1: 00 01 | 02\n', 'who goes away leaves it as it is');
      answer = 'first donor';
      await session.run('onlyToCompare');
      assert.deepEqual(questions, ['Which vehicle is own.cfgdump of?', 'Which vehicle is own.cfgdump of?']);
      assert.match(session.text('own.cfgdump'), /^@vehicle first donor$/m);
      assert.match(session.text('own.cfgdump'), /^@use comparison$/m);
      answer = '';
      await session.open('other.cfgdump');
      await session.run('onlyToCompare');
      assert.equal(session.text('other.cfgdump').replace(/\n+/g, '\n'), '@use comparison\n1: 00 02 | 03\n');
    });

    it('dumps to compare with by one button, as long as they are not saved', async () => {
      const donor = (of: string) => `@vehicle ${of}\n@use comparison\n1: 00 01 | 02\n`;
      session = await clientSession({ 'a.cfgdump': donor('a'), 'b.cfgdump': donor('b') });
      await until(() => labels().includes('For comparison only: 2'));
      assert.ok(!labels().includes('Save Them'));
      for (const name of ['a.cfgdump', 'b.cfgdump']) {
        await session.open(name);
        session.type(name, '# typed\n');
      }
      await until(() => entries().find(({ label }) => label === 'Save Them')?.says === 'a.cfgdump, b.cfgdump');
      await (await shown('Save Them')).press();
      for (const name of ['a', 'b']) assert.equal(kept(`${name}.cfgdump`), `# typed\n${donor(name)}`);
      await until(() => !labels().includes('Save Them'));
    });

    it('of which vehicle a file is that says nothing, without putting the one that is worked on into its mouth', async () => {
      session = await clientSession({
        'own.cfgdump': '@vehicle stock no. 7\n@taken 2026-03-02\n1: 00 01 | 02\n',
        'found.cfgdump': '1: 00 02 | 03\n',
      });
      const offered: string[] = [];
      session.editor.person.write = (title, value) => {
        offered.push(title, value);
        return undefined;
      };
      await (await shown(SAY)).press();
      assert.deepEqual(offered, ['Which vehicle is found.cfgdump of?', '']);
      assert.match(
        session.editor.in('prompt').join(),
        /The file does not say it\. Worked on here: stock no\. 7\. Write that only where it was read from that vehicle/,
      );
    });

    it('a hex view with what it is of in the file beside it', async () => {
      const view = '00000000: 1122 3344 5566 7788 99aa bbcc ddee ff00  ."3DUfw.........\n';
      session = await clientSession({ 'view.xxd': view });
      writing({ 'Which vehicle': 'stock no. 7', 'When was it read': '2026-03-02T09:14:00Z' });
      await (await shown(SAY)).press();
      const said = '@vehicle stock no. 7\n@taken 2026-03-02T09:14:00Z\n';
      assert.equal(session.text('view.xxd'), view);
      await session.run('onlyToCompare');
      assert.equal(session.text('view.xxd.dump-headers'), `${said}@use comparison\n`);
      await session.run('workOnDump');
      assert.equal(session.text('view.xxd.dump-headers'), said);
    });

    it('nothing where the person goes away', async () => {
      session = await clientSession({});
      await session.run('bringIn');
      way('Paste it');
      session.editor.person.write = () => undefined;
      await session.run('bringIn');
      assert.equal(workspace.textDocuments.length, 0);
    });

    it('a file from elsewhere as a saved copy in the folder, never over another, once all is said that it does not say', async () => {
      session = await clientSession({ 'saved.cfgdump': 'something else' });
      const text = new TextEncoder().encode('1: 00 01 | 02\n');
      session.editor.files.set('file:///stick/saved.txt', text);
      session.editor.times.set('file:///stick/saved.txt', Date.UTC(2026, 2, 2, 9, 14, 25));
      way('Choose a file…');
      session.editor.person.file = () => 'file:///stick/saved.txt';
      session.editor.person.write = () => undefined;
      await session.run('bringIn');
      assert.deepEqual(session.editor.in('file dialog'), ['Which file is the dump?']);
      assert.equal(
        session.editor.files.has('file:///cars/saved-2.cfgdump'),
        false,
        'who goes away leaves nothing behind',
      );
      writing({ 'Which vehicle': 'stock no. 7' });
      await session.run('bringIn');
      assert.match(session.editor.in('prompt').at(-1) ?? '', /^The file was last saved at this time\. Day and time /);
      const said = '@vehicle stock no. 7\n@taken 2026-03-02T09:14:25Z\n';
      assert.equal(session.text('saved-2.cfgdump'), `${said}1: 00 01 | 02\n`);
      assert.equal(
        new TextDecoder().decode(session.editor.files.get('file:///cars/saved-2.cfgdump')),
        `${said}1: 00 01 | 02\n`,
      );
      assert.match(session.editor.in('status bar').at(-1) ?? '', /Saved: saved-2\.cfgdump\./);
      assert.deepEqual(session.editor.files.get('file:///stick/saved.txt'), text);
    });

    it('a dump whose day and time are checked while they are written, so that nothing said before is lost', async () => {
      session = await clientSession({ 'found.cfgdump': '1: 00 01 | 02\n' });
      writing({ 'Which vehicle': 'stock no. 7', 'When was it read': '31.11.2026 09:02' });
      await (await shown(SAY)).press();
      assert.match(
        session.editor.in('verdict').join(),
        /^This is no day and time\. Write it such as \d{4}-\d\d-\d\d \d\d:\d\d or \d+\.\d+\.\d{4} \d+:\d\d\.$/m,
      );
      assert.deepEqual(session.editor.in('warning'), []);
      writing({ 'Which vehicle': 'stock no. 7', 'When was it read': '21.11.2026 9:02' });
      await (await shown(SAY)).press();
      const kept = new Date(2026, 10, 21, 9, 2).toISOString().replace(':00.000', '');
      assert.match(session.editor.in('verdict').at(-1) ?? '', new RegExp(`^Kept as ${kept} \\(UTC.* here\\)$`));
      assert.ok(session.text('found.cfgdump').startsWith(`@vehicle stock no. 7\n@taken ${kept}\n`));
    });

    it('a dump at the time that is offered, to the second, as two may be read in one minute', async () => {
      session = await clientSession({ 'found.cfgdump': '1: 00 01 | 02\n' });
      const before = Date.now();
      session.editor.person.write = (title, value) => (title.startsWith('Which') ? 'stock no. 7' : value);
      await (await shown(SAY)).press();
      const [, taken = ''] = /^@taken (.*)$/m.exec(session.text('found.cfgdump')) ?? [];
      assert.ok(Date.parse(taken) + 1000 > before, taken);
    });

    it('a dump at the time that its text says, and tells where', async () => {
      session = await clientSession({ 'found.cfgdump': '# Read 19.11.2026 14:07\n1: 00 01 | 02\n' });
      const offered: string[] = [];
      session.editor.person.write = (title, value) => {
        if (!title.startsWith('Which')) offered.push(value);
        return title.startsWith('Which') ? 'stock no. 7' : value;
      };
      await (await shown(SAY)).press();
      assert.deepEqual(offered, ['2026-11-19 14:07']);
      const kept = new Date(2026, 10, 19, 14, 7).toISOString().replace(':00.000', '');
      assert.ok(session.text('found.cfgdump').includes(`\n@taken ${kept}\n`), session.text('found.cfgdump'));
    });

    it('a dump under no name that nobody has said: neither that of the vehicle here nor that of a file', async () => {
      const offered: string[] = [];
      const look = async (files: Readonly<Record<string, string>>) => {
        session = await clientSession(files);
        session.editor.person.write = (_, value) => void offered.push(value);
        await (await shown(SAY)).press();
      };
      await look({ 'found.cfgdump': '1: 00 01 | 02\n' });
      await session.stop();
      const named = { 'door.cfgdump': '@vehicle stock 77\n@taken 2026-03-02\n1: 00 01 | 02\n' };
      await look({ ...named, 'found.cfgdump': '1: 00 01 | 02\n' });
      await session.stop();
      // Somebody may have taken the name of a file for that of a vehicle.
      const wrong = named['door.cfgdump'].replace('stock 77', 'door.cfgdump');
      await look({ 'door.cfgdump': wrong, 'found.cfgdump': '1: 00 01 | 02\n' });
      assert.deepEqual(offered, ['', '', '']);
    });

    it('raw bytes as a copy in the folder, open as lines whose headers go into the file beside it', async () => {
      session = await clientSession({ 'ee.bin': new Uint8Array([7, 0]) });
      session.editor.files.set('file:///stick/ee.bin', new Uint8Array([1, 0, 2]));
      way('Choose a file…');
      session.editor.person.file = () => 'file:///stick/ee.bin';
      writing({ 'Which vehicle': 'stock no. 7', 'When was it read': '2026-03-02T09:14:00Z' });
      await session.run('bringIn');
      const document = workspace.textDocuments.at(-1);
      assert.equal(document?.uri.scheme, 'countersum-bytes');
      assert.match(document?.getText() ?? '', /\n0x0000: 01 00 02\n$/);
      assert.equal(document?.isDirty, false);
      assert.deepEqual(session.editor.files.get('file:///cars/ee-2.bin'), new Uint8Array([1, 0, 2]));
      assert.equal(session.text('ee-2.bin.dump-headers'), '@vehicle stock no. 7\n@taken 2026-03-02T09:14:00Z\n');
      assert.deepEqual(session.editor.files.get('file:///cars/ee-2.bin'), new Uint8Array([1, 0, 2]));
    });

    it('raw bytes without a zero byte as raw bytes', async () => {
      const files = {
        'step.bin': Uint8Array.from({ length: 256 }, (_, i) => (i < 160 ? 0xff : 0xa0 + (i % 90))),
        'step.dat': Uint8Array.from([0xff, 0xff, 0xa5, 0x41]),
      };
      for (const [name, bytes] of Object.entries(files)) {
        session = await clientSession({});
        session.editor.files.set(`file:///stick/${name}`, bytes);
        way('Choose a file…');
        session.editor.person.file = () => `file:///stick/${name}`;
        writing({ 'Which vehicle': 'stock no. 7' });
        await session.run('bringIn');
        assert.equal(workspace.textDocuments.at(-1)?.uri.scheme, 'countersum-bytes', name);
        assert.deepEqual(session.editor.files.get(`file:///cars/${name}`), bytes);
        await session.stop();
      }
      session = await clientSession({});
    });

    it('a hex view under its own name as a hex view, with what it is of in the file beside it', async () => {
      const view = '00000000: 1122 3344 5566 7788 99aa bbcc ddee ff00  ."3DUfw.........\n';
      session = await clientSession({ 'view.txt': '' });
      session.editor.files.set('file:///stick/view.txt', new TextEncoder().encode(view));
      way('Choose a file…', 'Only to compare with');
      session.editor.person.file = () => 'file:///stick/view.txt';
      writing({ 'Which vehicle': 'donor A', 'When was it read': '2026-03-02' });
      await session.run('bringIn');
      assert.equal(session.languageOf('view-2.txt'), 'hex-view');
      assert.deepEqual(session.editor.settings.get('files.associations'), { '**/cars/view-2.txt': 'hex-view' });
      assert.equal(session.text('view-2.txt'), view);
      assert.equal(session.text('view-2.txt.dump-headers'), '@vehicle donor A\n@use comparison\n');
    });

    it('opens a file that is no text as the editor shows such files', async () => {
      const uri = 'file:///cars/scan.cfgdump';
      session = await clientSession({});
      session.editor.files.set(uri, new Uint8Array([...Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'), 0, 0]));
      await session.run('_jobStep', { does: 'open', uri, other: null });
      assert.deepEqual(session.editor.executed.at(-1)?.map(String), ['vscode.open', uri]);
    });

    it('no picture and no empty file, which it says before anything is asked', async () => {
      const files = {
        'photo.png': [
          new Uint8Array([...Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'), 0, 0]),
          /photo\.png is a picture \(PNG\), not a dump\./,
        ],
        'empty.cfgdump': [new Uint8Array(), /empty\.cfgdump is empty\./],
      } as const;
      for (const [name, [bytes, words]] of Object.entries(files)) {
        session = await clientSession({});
        session.editor.files.set(`file:///stick/${name}`, bytes);
        way('Choose a file…');
        session.editor.person.file = () => `file:///stick/${name}`;
        const asked: string[] = [];
        session.editor.person.write = (title, value) => {
          asked.push(title);
          return value;
        };
        await session.run('bringIn');
        assert.match(session.editor.in('warning').join(), words);
        assert.deepEqual(asked, []);
        assert.equal(session.editor.files.has(`file:///cars/${name}`), false);
        await session.stop();
      }
      session = await clientSession({});
    });

    it('nothing of raw bytes under a name that promises a text', async () => {
      session = await clientSession({});
      session.editor.files.set('file:///stick/ee.hex', new Uint8Array([1, 0, 2]));
      way('Choose a file…');
      session.editor.person.file = () => 'file:///stick/ee.hex';
      await session.run('bringIn');
      assert.match(session.editor.in('warning').join(), /ee\.hex promises a form of text/);
      assert.equal(workspace.textDocuments.length, 0);
    });

    it('what was read back under the name of its vehicle only where it does not look like the reading of another', async () => {
      const planned = (FILES[DUMP] ?? '').replace('00 FF | 88', '00 FF | A8').replace('FF 5C | 75', 'FF 3C | 55');
      const lines = planned.replace(/^[#@].*\n/gm, '');
      const other = lines.replace('10: 00 6E 21 20  5D C4 | D4', '10: 00 6F 21 20  5D C4 | D5');
      const cluster = Object.keys(FILES).filter((name) => name.startsWith('cluster'));
      const bring = async (
        text: string,
        answer: (question: string, detail: string) => string | undefined,
        from = 'file:///stick/read.txt',
      ) => {
        session = await clientSession({
          ...without(RETROFIT, 'rear-body.read-back.cfgdump', ...cluster),
          [DUMP]: planned,
          'donor.cfgdump': `@profile rear-body.dump-profile.json\n@use comparison\n${other}`,
        });
        session.editor.files.set(from, new TextEncoder().encode(text));
        await (await shown('Make and Keep the Job Card')).press();
        way('Choose a file…');
        session.editor.person.file = () => from;
        session.editor.person.write = (title) => (title === 'When was it read?' ? '2026-03-02T18:20:00Z' : undefined);
        const asked: string[] = [];
        const offered: string[] = [];
        const jobsAsked = () => session.asked.filter(({ method }) => method === 'countersum/jobs').length;
        const meanwhile: number[] = [];
        session.editor.person.modal = (question, detail, buttons) => {
          asked.push(`${question} ${detail}`);
          offered.push(...buttons);
          const before = jobsAsked();
          return new Promise((resolve) =>
            setTimeout(() => {
              meanwhile.push(jobsAsked() - before);
              resolve(answer(question, detail ?? ''));
            }, 600),
          );
        };
        await until(() => message().startsWith('Rear body module (demo) – Write the module'));
        await (await shown('Bring In the Read-back…')).press();
        // The file that the question is about has no job of its own in the list meanwhile.
        assert.deepEqual(
          meanwhile,
          asked.map(() => 0),
        );
        const isThere = session.editor.files.has('file:///cars/read.cfgdump');
        const got = isThere ? session.text('read.cfgdump') : undefined;
        const tells = session.editor.in('status bar').at(-1) ?? '';
        const tabs = window.tabGroups.all.flatMap((group) => group.tabs.map(({ input }) => JSON.stringify(input)));
        const front = window.activeTextEditor?.document.uri.path;
        const views = () =>
          ['options', 'changes'].map((id) => session.editor.trees.get(`countersum.${id}`)?.provider.getChildren());
        if (!isThere) await until(() => views().every((nodes) => nodes?.length));
        await session.stop();
        return { asked, got, offered, tells, tabs, front };
      };
      const right = await bring(lines, () => undefined);
      assert.deepEqual([right.asked, /^@vehicle stock no\. 2041$/m.test(right.got ?? '')], [[], true]);
      const sure = await bring(other, () => 'It Is of This Vehicle');
      assert.match(sure.asked.join(), /^Is read\.cfgdump of this vehicle\? It may be .*byte for byte donor\.cfgdump/);
      // What the Enter key takes is the first button.
      assert.deepEqual(sure.offered, ['Only to Compare With', 'It Is of This Vehicle']);
      assert.match(sure.got ?? '', /^@vehicle stock no\. 2041$/m);
      const compared = await bring(other, () => 'Only to Compare With');
      assert.doesNotMatch(compared.got ?? '@vehicle', /@vehicle|@profile/);
      assert.match(compared.got ?? '', /^@taken 2026-03-02T18:20:00Z$/m);
      assert.match(compared.got ?? '', /^@use comparison$/m);
      const mistaken = await bring(other, () => undefined);
      assert.equal(mistaken.got, undefined);
      assert.ok(!mistaken.tabs.join().includes('read.cfgdump'));
      assert.equal(mistaken.front, `/cars/${DUMP}`);
      assert.match(mistaken.tells, /read\.cfgdump was not brought in\.$/);
      const here = await bring(other, () => undefined, 'file:///cars/read.cfgdump');
      assert.equal(here.got, other);
      assert.equal(here.front, `/cars/${DUMP}`);
      session = await clientSession({});
    });

    it('what was read back of raw bytes, as one of their module, or asks of which vehicle it is', async () => {
      const bytes = Object.fromEntries(
        readdirSync('examples/seat-heater').map(
          (name) => [name, Uint8Array.from(readFileSync(`examples/seat-heater/${name}`))] as const,
        ),
      );
      const found = bytes['seat.as-found.bin'] ?? new Uint8Array();
      const bring = async (read: Uint8Array, beside: Readonly<Record<string, string | Uint8Array>> = {}) => {
        session = await clientSession({ ...bytes, ...beside });
        session.editor.files.set('file:///stick/read.bin', read);
        await until(() => labels().length > 0);
        way('Choose a file…');
        session.editor.person.file = () => 'file:///stick/read.bin';
        writing({ 'When was it read': '2026-03-02T18:20:00Z' });
        await session.run('_jobStep', { does: 'bringBack', uri: 'file:///cars/seat.bin', other: null });
        const headers = session.editor.files.get('file:///cars/read.bin.dump-headers');
        const said = {
          headers: new TextDecoder().decode(headers),
          asked: session.editor.in('modal'),
          verdict: session.editor.in('verdict').at(-1),
        };
        await session.stop();
        return said;
      };
      const own = await bring(Uint8Array.from(found));
      // The module was read before at another time, which the question tells: what is read back is read later.
      assert.match(
        own.verdict ?? '',
        /^seat\.as-found\.bin was read at 2026-04-11 .*: what was read before that does not count/,
      );
      assert.match(
        own.headers,
        /^@profile seat\.dump-profile\.json\n@(?:vin|vehicle) .*\n@taken 2026-03-02T18:20:00Z\n$/,
      );
      assert.deepEqual(own.asked, []);
      const donor = Uint8Array.from(found, (byte, i) => (i % 7 === 0 ? byte ^ 0x35 : byte));
      const headers = '@profile seat.dump-profile.json\n@use comparison\n';
      const other = await bring(donor, { 'donor.bin': donor, 'donor.bin.dump-headers': headers });
      assert.deepEqual(other.asked, ['Is read.bin of this vehicle?']);
      session = await clientSession({});
    });

    it('a file that may be a later reading as a read-back, where the person says so', async () => {
      const planned = (FILES[DUMP] ?? '').replace('00 FF | 88', '00 FF | A8').replace('FF 5C | 75', 'FF 3C | 55');
      const stray = planned.replace(/^[#@].*\n/gm, '');
      session = await clientSession({ ...without(RETROFIT), [DUMP]: planned, 'stray.cfgdump': stray });
      const say = async (label: string) => {
        session.editor.person.pick = ({ items }) => (items.some((item) => item.label === label) ? [label] : undefined);
        writing({ 'When was it read': '2026-03-02T18:20:00Z' });
        const [uri, other] = ['stray.cfgdump', DUMP].map((name) => `file:///cars/${name}`);
        await session.run('_jobStep', { does: 'sayUse', uri, other });
      };
      await say('A Read-Back of This Module');
      assert.match(
        session.text('stray.cfgdump'),
        /^@profile rear-body\.dump-profile\.json\n@taken 2026-03-02T18:20:00Z\n@vehicle stock no\. 2041\n/,
      );
      assert.equal(workspace.textDocuments.find(({ uri }) => uri.path.endsWith('stray.cfgdump'))?.isDirty, false);
    });

    it('no file as a read-back that says itself that it is none, before anything is asked', async () => {
      const planned = (FILES[DUMP] ?? '').replace('00 FF | 88', '00 FF | A8').replace('FF 5C | 75', 'FF 3C | 55');
      const [toLoad, raw] = ['rear-body.to-load.txt', 'raw.bin'];
      const files = { [DUMP]: planned, [toLoad]: planned.replace(/^@.*\n/gm, '') };
      session = await clientSession({ ...without(RETROFIT, 'rear-body.read-back.cfgdump'), ...files });
      session.editor.files.set(`file:///cars/${raw}`, Uint8Array.of(0, 1, 2, 3));
      session.editor.files.set(`file:///cars/${raw}.dump-headers`, new TextEncoder().encode('@use comparison\n'));
      const before = [...session.editor.files.keys()];
      way('Choose a file…');
      const asked: string[] = [];
      session.editor.person.write = (title, value) => {
        asked.push(title);
        return value;
      };
      for (const [name, why] of [
        [toLoad, /^rear-body\.to-load\.txt is named as a file to load/],
        [DUMP, /^rear-body\.cfgdump names a backup \("@backup"\), so it is a dump in work/],
        ['rear-body.as-found.cfgdump', /^rear-body\.as-found\.cfgdump is a sealed backup: /],
        [raw, /^raw\.bin is only here to compare with /],
      ] as const) {
        session.editor.person.file = () => `file:///cars/${name}`;
        await session.run('_jobStep', { does: 'bringBack', uri: `file:///cars/${DUMP}` });
        assert.match(session.editor.in('warning').at(-1) ?? '', why);
      }
      assert.deepEqual(asked, []);
      assert.deepEqual([...session.editor.files.keys()], before);
    });

    it('what was read back at a time before the backup, and says in a notice that it does not count', async () => {
      session = await clientSession(without(RETROFIT, 'rear-body.read-back.cfgdump'));
      way('Paste it');
      const warned = () => session.editor.in('warning').filter((said) => /does not count as read back/.test(said));
      session.editor.person.write = (title) => (title === 'When was it read?' ? '2026-03-02T18:20:00Z' : undefined);
      await session.run('_jobStep', { does: 'bringBack', uri: `file:///cars/${DUMP}`, other: null });
      assert.deepEqual(warned(), []);
      session.editor.person.write = (title) => (title === 'When was it read?' ? '2026-03-01T01:02:00Z' : undefined);
      await session.run('_jobStep', { does: 'bringBack', uri: `file:///cars/${DUMP}`, other: null });
      await until(() => warned().length === 1);
      assert.match(
        warned()[0] ?? '',
        /^rear-body\.as-found\.cfgdump was read at .*: what was read before that does not/,
      );
    });

    it('what was read back, beside the dump and as one of its module, and proves by it what was written', async () => {
      const planned = (FILES[DUMP] ?? '').replace('00 FF | 88', '00 FF | A8').replace('FF 5C | 75', 'FF 3C | 55');
      const cluster = Object.keys(FILES).filter((name) => name.startsWith('cluster'));
      session = await clientSession({
        ...without(RETROFIT, 'rear-body.read-back.cfgdump', ...cluster),
        [DUMP]: planned,
      });
      const card = await shown('Make and Keep the Job Card');
      assert.ok(entries().some(({ says }) => /It is kept in the vehicle folder/.test(says)));
      await card.press();
      assert.equal([...session.editor.files.keys()].filter((uri) => uri.endsWith('.job-card.md')).length, 1);
      way('Paste it');
      session.editor.person.write = (title) => (title === 'When was it read?' ? '2026-03-02T18:20:00Z' : undefined);
      await until(() => message().startsWith('Rear body module (demo) – Write the module'));
      const toLoad = await shown('Save Without Headers…');
      const offered = labels().filter((label) => /^(?:Save Without Headers|Bring In the Read-back)…$/.test(label));
      assert.deepEqual(offered, ['Save Without Headers…', 'Bring In the Read-back…']);
      const dump = session.editor.files.get(`file:///cars/${DUMP}`);
      const backup = session.editor.files.get('file:///cars/rear-body.as-found.cfgdump');
      for (const name of [DUMP, 'rear-body.as-found.cfgdump']) {
        session.editor.person.saveAs = (offered) => offered?.with({ path: `/cars/${name}` });
        await toLoad.press();
        assert.match(session.editor.in('warning').at(-1) ?? '', new RegExp(`^${name} is there already`));
      }
      assert.deepEqual(session.editor.files.get(`file:///cars/${DUMP}`), dump);
      assert.deepEqual(session.editor.files.get('file:///cars/rear-body.as-found.cfgdump'), backup);
      session.editor.person.saveAs = (offered) => offered;
      await session.run('saveToLoad');
      const loaded = new TextDecoder().decode(session.editor.files.get('file:///cars/rear-body.to-load.txt'));
      assert.equal(loaded, planned.replace(/^@.*\n/gm, ''));
      const bring = entries().filter(({ label }) => label === 'Bring In the Read-back…');
      assert.equal(bring.length, 1);
      await bring[0]?.press();
      const name = 'rear-body.read-back.cfgdump';
      assert.match(
        session.text(name),
        /^@profile rear-body\.dump-profile\.json\n@vehicle stock no\. 2041\n@taken 2026-03-02T18:20:00Z$/m,
      );
      await until(() => message().includes(`Nothing is in ${name} yet`));
      const lines = planned.replace(/^[#@].*\n/gm, '');
      const document = workspace.textDocuments.find(({ uri }) => uri.path.endsWith(name));
      assert.ok(document);
      const gone = () => session.editor.in('status bar gone').join();
      assert.doesNotMatch(gone(), /Paste what was read/);
      const end = document.positionAt(document.getText().length);
      document.change([{ range: new Range(end, end), newText: lines }]);
      assert.match(gone(), /Paste what was read here, and save it\./);
      await (await shown('Save the File')).press();
      await until(() => entries().some(({ spoken }) => spoken.startsWith('Read-back verified, done')));
      await until(() => /^Rear body module \(demo\): all steps are done\. Try it in the car\.$/.test(message()));
      for (const button of ['Go Back to the Backup…', 'Open the Vehicle Record']) assert.ok(labels().includes(button));
      assert.equal(session.editor.in(`${VIEW} revealed`).at(-1), 'Note in Profile…');
      const verify = await shown('Verify the Read-back');
      await verify.press();
      assert.match(session.editor.in('markdown').at(-1) ?? '', /What was read is what was planned/);
      await (await shown('Open the Vehicle Record')).press();
      assert.match(session.editor.in('markdown').at(-1) ?? '', /^# Vehicle record/m);
      const open = nodes().flatMap((node) => {
        const item = provider()?.getTreeItem(node);
        return item?.collapsibleState === 2 ? [item.label] : [];
      });
      assert.ok(open.includes('Option set'), open.join());
      // Only what was tried and works is noted.
      const PROFILE = 'rear-body.dump-profile.json';
      const inFile = () => new TextDecoder().decode(session.editor.files.get(`file:///cars/${PROFILE}`));
      const before = inFile();
      for (const answer of ['Not tried yet', 'It was tried and does not work']) {
        session.editor.person.pick = ({ items }) => items.flatMap(({ label }) => (label === answer ? label : []));
        await (await shown('Note in Profile…')).press();
        assert.equal(inFile(), before, answer);
      }
      session.editor.person.pick = () => ['It was tried in the car and works'];
      session.editor.person.write = () => 'Ada';
      await (await shown('Note in Profile…')).press();
      assert.equal(session.editor.in('list title').at(-1), 'Was it tried in the car? Trailer socket');
      assert.match(inFile(), /"how": "set-and-tried", "vehicle": "BA", "by": "Ada"/);
      await until(() =>
        session.editor.in('notice').some((said) => /^Noted in .* as set and tried: Trailer/.test(said)),
      );
      await until(() => !labels().includes('Note in Profile…') && labels().includes('Verify the Read-back'));
      session.editor.person.pick = ({ items }) => items.map(({ label }) => label);
      session.editor.person.modal = (_text, _detail, buttons) => buttons.at(-1);
      await (await shown('Go Back to the Backup…')).press();
      await until(() => /^ 4: 08 03 01 7F {2}00 FF \| 88$/m.test(session.text(DUMP)));
      assert.match(kept(DUMP), /^ 4: 08 03 01 7F {2}00 FF \| 88$/m);
      await until(() => entries().some(({ says }) => says.includes('write these lines back')));
      await shown('Make and Keep the Job Card');
    });
  });
});
