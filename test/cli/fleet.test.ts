// A retrofit over many cars: each car's row says what a plan over that car alone says, each car is written as a whole or
// not at all, and what cannot be read is never called done.
import assert from 'node:assert/strict';
import { chmodSync, chownSync, cpSync, linkSync, mkdirSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import fc from 'fast-check';
import { beforeEach, describe, it } from 'mocha';
import { JOURNAL_NAME, journalText } from '../../shared-core/src/jobs/index.js';
import { bench } from '../support/commandLine.js';
import { demoFile } from '../support/demo.js';
import { runCommand } from '../support/inProcess.js';
import { run } from '../support/runs.js';

const RETROFIT = 'trailer-socket.retrofit.json';
const MODULES = ['rear-body', 'cluster'] as const;

interface Cell {
  readonly state: string;
  readonly why: readonly string[];
  readonly options?: unknown;
  readonly edits?: unknown;
}

interface Row {
  readonly vehicle: string | null;
  readonly title: string;
  readonly state: string;
  readonly why: readonly string[];
  readonly modules: readonly Cell[];
}

describe('a retrofit over many cars', () => {
  const { call, callWith, names, write, read, path, everything } = bench();

  const put = (name: string, text: string) => {
    mkdirSync(dirname(path(name)), { recursive: true });
    write(name, text);
  };
  /** A car as found, in a folder of its own. */
  const car = (name: string, vin = `0DEM0T4X5TA00000${name}`, vehicle = `stock no. ${name}`) => {
    for (const module of MODULES) {
      const found = demoFile(`${module}.as-found.cfgdump`)
        .replace(/^@seal.*\n/m, '')
        .replace(/^@vin.*/m, `@vin ${vin}`)
        .replace(/^@vehicle.*/m, `@vehicle ${vehicle}`)
        .replace(/^@profile /m, '@profile ../../');
      put(`cars/${name}/${module}.as-found.cfgdump`, found);
      put(`cars/${name}/${module}.cfgdump`, found.replace(/^@taken.*/m, `@backup ${module}.as-found.cfgdump`));
    }
  };
  const change = (name: string, from: string | RegExp, to: string) => {
    assert.notEqual(read(name).replace(from, to), read(name), name);
    write(name, read(name).replace(from, to));
  };
  const spoils = new Map<string, (name: string) => void>(
    Object.entries({
      nothing: () => {},
      done: (name: string) => assert.equal(call('plan', RETROFIT, `cars/${name}`, '--write').status, 0),
      'no backup': (name: string) => rmSync(path(`cars/${name}/cluster.as-found.cfgdump`)),
      'a backup that is not named': (name: string) => change(`cars/${name}/cluster.cfgdump`, /^@backup.*\n/m, ''),
      'no cluster': (name: string) => rmSync(path(`cars/${name}/cluster.cfgdump`)),
      'two of one module': (name: string) =>
        cpSync(path(`cars/${name}/cluster.cfgdump`), path(`cars/${name}/copy.cfgdump`)),
      'a wrong sum': (name: string) => change(`cars/${name}/rear-body.cfgdump`, /^( 3:.*\| ).*$/m, '$100'),
      'a torn line': (name: string) => change(`cars/${name}/rear-body.cfgdump`, /^( 3: ..)/m, '$1 x'),
    }),
  );
  const rowsOf = (...args: readonly string[]): readonly Row[] =>
    JSON.parse(call('plan', RETROFIT, ...args, '--json').stdout).cars;

  it('has each car once, though its folder is named beside that of all cars', () => {
    for (const name of ['1', '2']) car(name);
    const alone = rowsOf('cars');
    assert.deepEqual(rowsOf('cars', 'cars/1'), alone);
    assert.deepEqual(rowsOf('cars/1', 'cars/2', 'cars'), alone);
    assert.deepEqual(
      alone.map(({ state }) => state),
      ['possible', 'possible'],
    );
  });

  it('plans a car whose module is a variant by the profile of that variant', () => {
    for (const name of ['1', '2', '3']) car(name);
    const base = 'rear-body.dump-profile.json';
    const variant = (name: string, from: string, more: object) =>
      write(`${name}.dump-profile.json`, JSON.stringify({ format: 1, extends: from, ...more }));
    const swapped = { id: 'trailer-socket', values: { 1: '13-pin', 2: '7-pin' } };
    variant('early', base, { options: [swapped] });
    variant('late', 'early.dump-profile.json', { title: 'Late ones' });
    for (const [name, profile] of [
      ['2', 'early'],
      ['3', 'late'],
    ])
      for (const file of ['rear-body.cfgdump', 'rear-body.as-found.cfgdump'])
        change(`cars/${name}/${file}`, base, `${profile}.dump-profile.json`);
    const rows = rowsOf('cars');
    assert.deepEqual(
      rows.map(({ state, why, modules }) => [state, why, modules.flatMap((cell) => cell.why)]),
      ['possible', 'possible', 'possible'].map((state) => [state, [], []]),
    );
    const written = rows.map(({ modules: [body] }) => JSON.stringify(body?.edits));
    assert.deepEqual([written[0] === written[1], written[1] === written[2]], [false, true]);
    for (const name of ['1', '2', '3']) {
      const [row] = rows.filter(({ title }) => title.startsWith(`stock no. ${name}`));
      const alone = JSON.parse(call('plan', RETROFIT, `cars/${name}`, '--json').stdout);
      assert.deepEqual(
        row?.modules.map(({ edits }) => edits),
        alone.modules.map(({ edits }: Cell) => edits),
      );
    }
    // Until it is written, record and card of a variant say what is not carried out as those of any other do.
    for (const name of ['1', '2', '3']) cpSync(path(RETROFIT), path(`cars/${name}/${RETROFIT}`));
    const local = (name: string) => change(`cars/${name}/${RETROFIT}`, /"profile": "/g, '"profile": "../../');
    for (const name of ['1', '2', '3']) local(name);
    const open = (name: string) => call('record', `cars/${name}`).stdout.match(/is not carried out/g)?.length ?? 0;
    assert.ok(open('1') > 0);
    for (const name of ['2', '3']) assert.equal(open(name), open('1'), name);
    const card = (name: string) =>
      call(
        ...['card', `cars/${name}/rear-body.as-found.cfgdump`, `cars/${name}/rear-body.cfgdump`],
        ...['--retrofit', RETROFIT, '--json'],
      );
    const matters = (name: string) => JSON.parse(card(name).stdout).open.length;
    assert.ok(matters('1') > 0);
    for (const name of ['2', '3']) assert.equal(matters(name), matters('1'), name);
    assert.equal(call('plan', RETROFIT, 'cars', '--write').status, 0);
    for (const name of ['1', '2', '3']) assert.equal(open(name), 0);
    for (const name of ['1', '2', '3'])
      assert.match(call('show', `cars/${name}/rear-body.cfgdump`).stdout, /Trailer socket.*13-pin/);
    assert.ok(rowsOf('cars').every(({ state }) => state === 'done'));
  });

  it('is a table of cars and modules, with what is in the way of each', () => {
    for (const name of ['1', '2', '3']) car(name);
    spoils.get('done')?.('1');
    spoils.get('a backup that is not named')?.('3');
    const before = everything();
    const { status, stdout } = call('plan', RETROFIT, 'cars');
    assert.equal(status, 1);
    assert.match(stdout, /^\| stock no\. 1 \(0DEM0T4X5TA000001\) \| done \| done \| done \|$/m);
    assert.match(stdout, /^\| stock no\. 2 \(0DEM0T4X5TA000002\) \| possible \| possible \| possible \|$/m);
    assert.match(stdout, /^\| stock no\. 3 \(0DEM0T4X5TA000003\) \| waits \| in the way \| in the way \|$/m);
    assert.match(stdout, /^### stock no\. 3 .*\n\n- cluster.dump-profile.json: Several dumps .*"@taken"/m);
    assert.match(
      stdout,
      /already: 1, written now: 0, possible: 1, with something in the way: 1, that cannot be read: 0/,
    );
    assert.deepEqual(everything(), before);
  });

  it('writes each car as a whole, and leaves the others as they are', () => {
    for (const name of ['1', '2', '3']) car(name);
    spoils.get('no backup')?.('2');
    const before = everything();
    const { status, stdout } = call('plan', RETROFIT, 'cars/1', 'cars/2', 'cars/3', '--write');
    assert.equal(status, 1);
    assert.match(stdout, /^stock no\. 1 .*: written, all modules$/m);
    assert.match(stdout, /^stock no\. 2 .*: nothing was written\nstock no\. 2 .*: .*cluster.*cannot be read.*$/m);
    assert.match(stdout, /\n[^\n]*already: 0, written now: 2, possible: 0, with something in the way: 1[^\n]*\n$/);
    const after = everything();
    const changed = Object.keys(after).filter((name) => after[name] !== before[name]);
    assert.deepEqual(
      changed,
      [1, 3].flatMap((at) => ['cluster', 'rear-body'].map((one) => `cars/${at}/${one}.cfgdump`)),
    );
    assert.deepEqual(
      rowsOf('cars').map(({ state }) => state),
      ['done', 'in-the-way', 'done'],
    );
    assert.equal(call('check', 'cars/1', 'cars/3').status, 0);
  });

  it('a car with a file that cannot be read is never called done, and the others are told as ever', () => {
    for (const name of ['1', '2']) car(name);
    for (const name of ['1', '2']) spoils.get('done')?.(name);
    assert.equal(call('plan', RETROFIT, 'cars').status, 0);
    symlinkSync('nowhere', path('cars/2/gate.cfgdump'));
    const { status, stdout } = call('plan', RETROFIT, 'cars', '--json');
    assert.equal(status, 2);
    const rows: readonly Row[] = JSON.parse(stdout).cars;
    assert.deepEqual(
      rows.map(({ state }) => state),
      ['done', 'unread'],
    );
    assert.match(rows[1]?.why.join() ?? '', /gate\.cfgdump/);
  });

  it('calls nothing possible that would be refused when it is written, in one car or many, and says why', () => {
    for (const name of ['1', '2', '3']) car(name);
    linkSync(path('cars/1/cluster.cfgdump'), path('other-name'));
    chmodSync(path('cars/2/rear-body.cfgdump'), 0o444);
    const before = everything();
    const told = (...more: readonly string[]) =>
      rowsOf('cars', ...more).map(({ state, why }) => [state, why.map((one) => one.replace(/^.*\//, ''))]);
    const planned = told();
    assert.deepEqual(planned, [
      [
        'in-the-way',
        ['cluster.cfgdump has another name (a hard link), under which the old content would stay. Write another file.'],
      ],
      ['in-the-way', ['rear-body.cfgdump is read-only, and stays as it is.']],
      ['possible', []],
    ]);
    for (const [name, file] of [
      ['1', 'cluster.cfgdump'],
      ['2', 'rear-body.cfgdump'],
    ] as const) {
      const { possible, refusals } = JSON.parse(call('plan', RETROFIT, `cars/${name}`, '--json').stdout);
      assert.deepEqual([possible, refusals.length, refusals[0].module], [false, 1, file]);
      const { status, stdout } = call('plan', RETROFIT, `cars/${name}`);
      assert.equal(status, 1);
      assert.match(stdout, /cannot be done yet[\s\S]*(hard link|read-only)/);
      assert.equal(call('plan', RETROFIT, `cars/${name}`, '--write').status, 2);
    }
    assert.deepEqual(everything(), before);
    assert.deepEqual(told('--write'), [...planned.slice(0, 2), ['written', []]]);
  });

  it('a folder without a dump in work, or without any dump, has a row', () => {
    for (const name of ['1', '2']) car(name);
    car('3');
    for (const module of MODULES) rmSync(path(`cars/3/${module}.cfgdump`));
    for (const module of MODULES) change(`cars/3/${module}.as-found.cfgdump`, /^@profile.*\n/m, '');
    mkdirSync(path('cars/4'));
    const both = call('plan', RETROFIT, 'cars/1', 'cars/2', 'cars/3', '--json');
    assert.equal(both.status, 1);
    assert.deepEqual(
      JSON.parse(both.stdout)
        .cars.map(({ title, state }: Row) => `${title}: ${state}`)
        .slice(2),
      ['3: in-the-way'],
    );
    const empty = call('plan', RETROFIT, 'cars/1', 'cars/2', 'cars/4', '--json');
    assert.equal(empty.status, 2);
    assert.match(empty.stdout, /no dump was found there/);
  });

  it('says each caution of a car once, before what is planned or written, for a person and for a script', () => {
    for (const name of ['1', '2']) car(name);
    for (const more of [[], ['--write']]) {
      const { cautions } = JSON.parse(call('plan', RETROFIT, 'cars', '--json').stdout);
      const { stderr } = call('plan', RETROFIT, 'cars', ...more);
      assert.ok(cautions.length > 0);
      assert.equal(new Set(cautions).size, cautions.length);
      assert.match(cautions.join('\n'), /Affects the lighting/);
      const said = stderr.split('\n');
      for (const caution of cautions) assert.equal(said.filter((line) => line === caution).length, 1, caution);
    }
  });

  it('of folders of which one has no dump has a row for that one too, be there one car or many', () => {
    car('1');
    mkdirSync(path('cars/4'));
    const { status, stdout } = call('plan', RETROFIT, 'cars/1', 'cars/4', '--json');
    assert.equal(status, 2);
    const { possible, cars }: { readonly possible: boolean; readonly cars: readonly Row[] } = JSON.parse(stdout);
    assert.deepEqual(
      [possible, cars.map(({ vehicle, state }) => [vehicle, state])],
      [
        false,
        [
          ['0DEM0T4X5TA000001', 'possible'],
          [null, 'unread'],
        ],
      ],
    );
    const alone = call('plan', RETROFIT, 'cars/4');
    assert.deepEqual([alone.status, alone.stdout], [2, '']);
    assert.match(alone.stderr, /^countersum: cars\/4: no dump was found there\./);
  });

  it('of several folders of one car is the plan over that car', () => {
    car('1');
    for (const ending of ['as-found.cfgdump', 'cfgdump']) {
      put(`cars/2/cluster.${ending}`, read(`cars/1/cluster.${ending}`));
      rmSync(path(`cars/1/cluster.${ending}`));
    }
    const { status, stdout } = call('plan', RETROFIT, 'cars/1', 'cars/2');
    assert.equal(status, 0, stdout);
    assert.match(stdout, /^Vehicle: stock no\. 1/m);
  });

  it('takes for a car what is first below the nearest folder that was named', () => {
    for (const name of ['1', '2']) car(name);
    cpSync(path('cars'), path('all/yard'), { recursive: true });
    for (const name of ['1', '2'])
      for (const module of MODULES)
        for (const ending of ['as-found.cfgdump', 'cfgdump'])
          change(`all/yard/${name}/${module}.${ending}`, '@profile ../../', '@profile ../../../');
    symlinkSync('nowhere', path('all/yard/2/gate.cfgdump'));
    for (const places of [
      ['all', 'all/yard'],
      ['all/yard', 'all'],
    ])
      assert.deepEqual(
        rowsOf(...places).map(({ state }) => state),
        ['possible', 'unread'],
      );
  });

  it('names every file of a car that cannot be read', () => {
    for (const name of ['1', '2']) car(name);
    for (const name of ['gate', 'door']) symlinkSync('nowhere', path(`cars/2/${name}.cfgdump`));
    mkdirSync(path('cars/3'));
    for (const name of ['roof', 'seat']) symlinkSync('nowhere', path(`cars/3/${name}.cfgdump`));
    const rows = rowsOf('cars');
    assert.deepEqual(
      rows.map(({ vehicle, state, why }) => [
        vehicle?.slice(-1) ?? null,
        state,
        why.map((one) => /(\w+)\.cfgdump/.exec(one)?.[1]).sort(),
      ]),
      [
        ['1', 'possible', []],
        ['2', 'unread', ['door', 'gate']],
        [null, 'unread', ['roof', 'seat']],
      ],
    );
  });

  it('names the folder of a car in which no dump is, as when it is named itself, beside one car or many', () => {
    car('1');
    put('cars/1/photos/a.txt.jpg', '');
    mkdirSync(path('cars/4'));
    put('cars/5/below/notes.md', '');
    put('cars/profiles/q.dump-profile.json', '{}');
    put('cars/.keep/a', '');
    const told = (...places: readonly string[]) =>
      rowsOf(...places).map(({ title, state, why }) => [title, state, why]);
    const [first, ...without] = told('cars');
    assert.deepEqual([first?.[0], first?.[1]], ['stock no. 1 (0DEM0T4X5TA000001)', 'possible']);
    const itself = told('cars/1', 'cars/4', 'cars/5').slice(1);
    assert.deepEqual(
      without.map(([title, state]) => [title, state]),
      [
        ['4', 'unread'],
        ['5', 'unread'],
      ],
    );
    assert.deepEqual(
      itself.map(([title, state, why]) => [String(title).slice(-1), state, String(why).replaceAll('cars/', '')]),
      without.map(([title, state, why]) => [title, state, String(why)]),
    );
    assert.equal(call('plan', RETROFIT, 'cars').status, 2);
    // One that is named beside the folder of all is told once.
    assert.equal(rowsOf('cars', 'cars/4').length, 3);
    car('2');
    assert.deepEqual(
      told('cars').map(([title]) => String(title).slice(0, 10)),
      ['stock no. 1', 'stock no. 2', '4', '5'].map((title) => title.slice(0, 10)),
    );
    // What is in the folder of one car is of that car.
    assert.match(call('plan', RETROFIT, 'cars/1').stdout, /^Vehicle: stock no\. 1/m);
  });

  it('a dead link, or a folder that cannot be listed, is told of its car alone, and nothing is written in that', () => {
    for (const name of ['1', '2', '3']) car(name);
    symlinkSync('nowhere', path('cars/2/gate.cfgdump'));
    mkdirSync(path('cars/3/inner'));
    // Nothing is hidden from the superuser.
    const isRoot = process.getuid?.() === 0;
    const other = isRoot ? { uid: 65534, gid: 65534 } : {};
    if (isRoot)
      for (const name of ['.', 'cars', 'cars/1', 'cars/2', 'cars/3', 'cars/3/inner', ...names()])
        chownSync(path(name), 65534, 65534);
    chmodSync(path('cars/3/inner'), 0);
    const before = { ...everything() };
    const { status, stdout } = callWith(other, 'plan', RETROFIT, 'cars', '--write', '--json');
    chmodSync(path('cars/3/inner'), 0o777);
    assert.equal(status, 2);
    const rows: readonly Row[] = JSON.parse(stdout).cars;
    assert.deepEqual(
      rows.map(({ vehicle, state }) => [vehicle?.slice(-1), state]),
      [
        ['1', 'written'],
        ['2', 'unread'],
        ['3', 'unread'],
      ],
    );
    assert.match(rows[1]?.why.join() ?? '', /^gate\.cfgdump cannot be read: the link leads nowhere/);
    assert.match(rows[2]?.why.join() ?? '', /^inner cannot be listed: not allowed/);
    const after = everything();
    assert.deepEqual(
      Object.keys(after).filter((name) => after[name] !== before[name]),
      ['cars/1/cluster.cfgdump', 'cars/1/rear-body.cfgdump'],
    );
  });

  it('is a table too where it is for one of the cars only, and a link in the folder of another leads nowhere', () => {
    for (const name of ['1', '2']) car(name);
    write('other.dump-profile.json', read('rear-body.dump-profile.json'));
    rmSync(path('cars/2/cluster.cfgdump'));
    rmSync(path('cars/2/cluster.as-found.cfgdump'));
    change('cars/2/rear-body.cfgdump', 'rear-body.dump-profile', 'other.dump-profile');
    change('cars/2/rear-body.as-found.cfgdump', 'rear-body.dump-profile', 'other.dump-profile');
    symlinkSync('nowhere', path('cars/2/cluster.cfgdump'));
    assert.deepEqual(
      rowsOf('cars').map(({ state }) => state),
      ['possible', 'unread'],
    );
  });

  it('writes nothing where the folder may be that of one car, and a link in it leads nowhere', () => {
    car('1');
    mkdirSync(path('cars/2'));
    symlinkSync('nowhere', path('cars/2/cluster.cfgdump'));
    const before = everything();
    for (const place of ['cars', 'cars/1']) {
      const { status, stderr } = call('plan', RETROFIT, place, '--write');
      assert.equal(status, 2, place);
      assert.match(stderr, /(2\/cluster|gate)\.cfgdump cannot be read: the link leads nowhere/);
      if (place === 'cars') symlinkSync('nowhere', path('cars/1/gate.cfgdump'));
    }
    assert.deepEqual(everything(), before);
  });

  it('names dumps that say of no vehicle by their folders, and says of bytes that are no text that they cannot be read', () => {
    for (const name of ['1', '2', '3']) car(name);
    for (const module of MODULES)
      for (const ending of ['as-found.cfgdump', 'cfgdump'])
        change(`cars/2/${module}.${ending}`, /^@(vin|vehicle).*\n/gm, '');
    writeFileSync(
      path('cars/3/x.cfgdump'),
      Uint8Array.from({ length: 40 }, (_, i) => (i * 37 + 128) % 256),
    );
    const rows = rowsOf('cars');
    assert.deepEqual(
      rows.map(({ title, state }) => [title.replace(/ \(.*/, ''), state]),
      [
        ['stock no. 1', 'possible'],
        ['2/cluster.as-found.cfgdump', 'in-the-way'],
        ['2/cluster.cfgdump', 'in-the-way'],
        ['2/rear-body.as-found.cfgdump', 'in-the-way'],
        ['2/rear-body.cfgdump', 'in-the-way'],
        ['stock no. 3', 'unread'],
      ],
    );
    assert.match(rows.at(-1)?.why.join() ?? '', /^x\.cfgdump is no dump: /);
    assert.equal(call('plan', RETROFIT, 'cars').status, 2);
  });

  it('waits for a confirmation where a dump does not say that the profile is for it, and is told that it was given', () => {
    for (const name of ['1', '2']) car(name);
    change('cluster.dump-profile.json', '"lines":', '"appliesTo": { "part": ["*"] }, "lines":');
    for (const file of ['cluster.cfgdump', 'cluster.as-found.cfgdump']) change(`cars/2/${file}`, /^@part.*\n/m, '');
    const states = (...more: readonly string[]) => rowsOf('cars', ...more).map(({ state }) => state);
    assert.deepEqual(states(), ['possible', 'in-the-way']);
    const why = rowsOf('cars').flatMap(({ modules }) => modules.flatMap((cell) => cell.why));
    const alone = JSON.parse(call('plan', RETROFIT, 'cars/2', '--json').stdout);
    assert.deepEqual(
      why,
      alone.refusals.map((one: { readonly why: string }) => one.why),
    );
    assert.deepEqual(states('--unconfirmed'), ['possible', 'possible']);
  });

  it('folders of vehicles and files of one are not mixed', () => {
    for (const name of ['1', '2']) car(name);
    const { status, stderr } = call('plan', RETROFIT, 'cars/1', 'cars/2/cluster.cfgdump');
    assert.equal(status, 2);
    assert.match(stderr, /Name the folders of vehicles, or the files of one vehicle/);
  });

  it('of one vehicle it is the plan over that vehicle', () => {
    car('1');
    assert.match(call('plan', RETROFIT, 'cars').stdout, /^Vehicle: stock no\. 1/m);
  });

  it('leaves a car alone in which a plan is half done, or may be as its journal cannot be read, and plans the others', async () => {
    for (const name of ['1', '2', '3']) car(name);
    const body = read('cars/1/rear-body.cfgdump');
    const half = { file: 'rear-body.cfgdump', before: body, after: body.replace('stock', 'STOCK') };
    const other = { file: 'cluster.cfgdump', before: 'nothing', after: read('cars/1/cluster.cfgdump') };
    const journal = journalText({ host: 'elsewhere', pid: 1, modules: [half, other] });
    write(`cars/1/${JOURNAL_NAME}`, journal);
    write(`cars/2/${JOURNAL_NAME}`, journal.slice(0, 40));
    // How long a run that may be under way is waited for is another matter.
    const { text } = await runCommand(['plan', path(RETROFIT), path('cars'), '--json'], run(2));
    const rows: readonly Row[] = JSON.parse(text).cars;
    assert.deepEqual(
      rows.map(({ state, why }) => `${state}: ${why.length}`),
      ['in-the-way: 1', 'in-the-way: 1', 'possible: 0'],
    );
    assert.match(rows[0]?.why.join() ?? '', /^Another run is writing the modules in .*cars.1, or was cut short there/);
  });

  describe('that changes one module alone', () => {
    beforeEach(() => {
      const { changes, ...more } = JSON.parse(read(RETROFIT));
      const own = changes.filter(({ profile }: { readonly profile: string }) => profile.startsWith('rear-body'));
      write(RETROFIT, JSON.stringify({ ...more, changes: own }));
      for (const name of ['1', '2']) car(name);
    });

    it('writes the dump of that module in each of the cars', () => {
      const { status, stdout } = call('plan', RETROFIT, 'cars', '--write');
      assert.equal(status, 0, stdout);
      assert.match(stdout, /^stock no\. 1 .*: written, all modules$/m);
      for (const name of ['1', '2'])
        assert.match(call('show', `cars/${name}/rear-body.cfgdump`).stdout, /Trailer socket.*13-pin/);
      assert.ok(rowsOf('cars').every(({ state }) => state === 'done'));
    });

    it('is planned for the one car that has it, though a dump of another car lies in the folder', () => {
      for (const file of ['rear-body.cfgdump', 'rear-body.as-found.cfgdump']) rmSync(path(`cars/2/${file}`));
      const { status, stdout } = call('plan', RETROFIT, 'cars');
      assert.equal(status, 0, stdout);
      assert.match(stdout, /^Vehicle: stock no\. 1/m);
      assert.doesNotMatch(stdout, /stock no\. 2/);
    });
  });

  it("each car's row says what a plan over that car alone says", async function () {
    this.timeout(60000);
    const fate = fc.constantFrom(...[...spoils.keys()].filter((name) => name !== 'done'));
    await fc.assert(
      fc.asyncProperty(fc.array(fate, { minLength: 2, maxLength: 4 }), async (fates) => {
        rmSync(path('cars'), { recursive: true, force: true });
        for (const [at, one] of fates.entries()) {
          car(String(at));
          spoils.get(one)?.(String(at));
        }
        const all = await runCommand(['plan', path(RETROFIT), path('cars'), '--json']);
        const rows: readonly Row[] = JSON.parse(all.text).cars;
        assert.equal(rows.length, fates.length);
        for (const [at, row] of rows.entries()) {
          const alone = await runCommand(['plan', path(RETROFIT), path(`cars/${at}`), '--json']);
          const said = JSON.parse(alone.text);
          assert.equal(row.vehicle, said.vehicle);
          assert.equal(row.state === 'possible' || row.state === 'done', alone.status === 0, JSON.stringify(row));
          if (said.possible)
            assert.deepEqual(
              row.modules.map(({ options, edits }) => ({ options, edits })),
              said.modules.map(({ options, edits }: Cell) => ({ options, edits })),
            );
          else
            assert.deepEqual(
              [...row.why, ...row.modules.flatMap(({ why }) => why)],
              said.refusals.map(({ why }: { readonly why: string }) => why),
            );
        }
      }),
      { numRuns: 12 },
    );
  });

  it('names dumps of one name by their folders too, in a car that has one for each module', () => {
    car('7');
    for (const module of MODULES) {
      for (const ending of ['as-found.cfgdump', 'cfgdump']) {
        const text = read(`cars/7/${module}.${ending}`)
          .replace('@profile ../../', '@profile ../../../')
          .replace(`@backup ${module}.`, '@backup module.');
        put(`cars/8/${module}/module.${ending}`, text);
      }
    }
    rmSync(path('cars/7'), { recursive: true });
    const { stdout } = call('plan', RETROFIT, 'cars/8', '--json');
    const { modules } = JSON.parse(stdout);
    assert.deepEqual(modules.map(({ file }: { file: string }) => file).sort(), [
      'cluster/module.cfgdump',
      'rear-body/module.cfgdump',
    ]);
    assert.match(call('plan', RETROFIT, 'cars/8').stdout, /rear-body\/module\.cfgdump/);
    const written = call('plan', RETROFIT, 'cars/8', '--write');
    assert.equal(written.status, 0, written.stderr);
    assert.match(written.stdout, /^cluster\/module\.cfgdump: set as planned/m);
  });
});
