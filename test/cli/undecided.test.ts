// A plan writes nothing in a module where a dump lies beside of which nobody can tell whether it is the module as it is now.
import assert from 'node:assert/strict';
import { cpSync, mkdirSync, rmSync } from 'node:fs';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';

const RETROFIT = 'trailer-socket.retrofit.json';
const CLUSTER = 'cluster.cfgdump';

describe('a plan beside a dump that no profile explains', () => {
  const { call, path, read, write } = bench();

  const begin = () => {
    rmSync(path('rear-body.read-back.cfgdump'), { force: true });
    for (const name of ['rear-body', 'cluster']) {
      const found = read(`${name}.as-found.cfgdump`).replace(/^@seal.*\n/m, '');
      write(`${name}.cfgdump`, found.replace(/^@taken.*/m, `@backup ${name}.as-found.cfgdump`));
    }
  };
  const misspelt = () => read(CLUSTER).replace('cluster.dump-', 'clusterr.dump-');
  const unnamed = () => read(CLUSTER).replace(/^@profile.*\n/m, '');

  const refused: Readonly<Record<string, readonly [text: () => string, why: RegExp]>> = {
    'misspells its profile': [misspelt, /clusterr\.dump-profile\.json cannot be read: no such file/],
    'misspells its profile, and is of another software level': [
      () => misspelt().replace(/^@software.*/m, '@software 9999'),
      /clusterr\.dump-profile\.json cannot be read/,
    ],
    'names no profile': [unnamed, /It names no profile/],
    'names no profile and only the VIN': [() => unnamed().replace(/^@(vehicle|part|software).*\n/gm, ''), /no profile/],
    'says nothing of itself': [() => unnamed().replace(/^@.*\n/gm, ''), /It names no profile/],
    'cannot be read': [() => '1: 00\x0011\n', /It names no profile/],
  };
  for (const [what, [text, why]] of Object.entries(refused)) {
    it(`is refused where it ${what}`, () => {
      begin();
      write('x.cfgdump', text());
      const before = [read(CLUSTER), read('rear-body.cfgdump')];
      const { status, stderr } = call('plan', RETROFIT, '--write');
      assert.equal(status, 2);
      assert.match(stderr, /x\.cfgdump may be another dump of this module\./);
      assert.match(stderr, why);
      assert.deepEqual([read(CLUSTER), read('rear-body.cfgdump')], before);
      assert.equal(call('plan', RETROFIT).status, 1);
    });
  }

  it('is refused where the text of its profile is torn', () => {
    begin();
    write('torn.dump-profile.json', read('cluster.dump-profile.json').slice(0, 200));
    write('x.cfgdump', read(CLUSTER).replace('cluster.dump-', 'torn.dump-'));
    const { status, stderr } = call('plan', RETROFIT, '--write');
    assert.equal(status, 2);
    assert.match(stderr, /x\.cfgdump may be another dump of this module\..* torn\.dump-profile\.json cannot be read/);
  });

  it('goes on, and names it, where its headers show that it is not the module as it is now', () => {
    const harmless = [
      () => misspelt().replace(/^@part.*/m, '@part ZZ-1'),
      () => misspelt().replace(/^@backup.*/m, '@taken 2026-03-01'),
    ];
    for (const text of harmless) {
      begin();
      write('x.cfgdump', text());
      const { status, stderr } = call('plan', RETROFIT, '--write');
      assert.equal(status, 0, stderr);
      assert.match(stderr, /x\.cfgdump was left aside\. clusterr\.dump-profile\.json cannot be read/);
    }
  });

  it('goes on where it is what a dump in work names as its backup', () => {
    begin();
    write('x.cfgdump', unnamed().replace(/^@backup.*\n/m, ''));
    write(CLUSTER, read(CLUSTER).replace(/^@backup.*/m, '@backup x.cfgdump'));
    assert.doesNotMatch(call('plan', RETROFIT).stdout, /may be another dump/);
  });

  it('goes on where it says that it is of another car, or is marked', () => {
    const other = [
      () =>
        unnamed()
          .replace(/^@vin.*/m, '@vin 0DEM0T4X5TA999999')
          .replace(/^@vehicle.*/m, '@vehicle another'),
      () => `@use another-module\n${unnamed()}`,
      () => `@use comparison\n${unnamed()}`,
    ];
    for (const text of other) {
      begin();
      write('x.cfgdump', text());
      assert.equal(call('plan', RETROFIT, '--write').status, 0);
    }
    // Why it was passed over is told of a dump that a person names.
    begin();
    write('x.cfgdump', other[0]?.() ?? '');
    const { status, stderr } = call('plan', RETROFIT, CLUSTER, 'rear-body.cfgdump', 'x.cfgdump', '--write');
    assert.equal(status, 0, stderr);
    assert.match(stderr, /^x\.cfgdump was left aside\. It names no profile\.$/m);
    assert.equal(stderr.match(/was left aside/g)?.length, 1, stderr);
  });

  it('is refused for the one car of a fleet in which it lies', () => {
    for (const car of ['1', '2']) {
      begin();
      mkdirSync(path(`cars/${car}`), { recursive: true });
      for (const module of ['rear-body', 'cluster'])
        for (const name of [`${module}.cfgdump`, `${module}.as-found.cfgdump`]) {
          cpSync(path(name), path(`cars/${car}/${name}`));
          const text = read(`cars/${car}/${name}`)
            .replace(/^@vin.*/m, `@vin 0DEM0T4X5TA00000${car}`)
            .replace(/^@vehicle.*/m, `@vehicle ${car}`)
            .replace('@profile ', '@profile ../../')
            .replace(/^@seal.*\n/m, '');
          write(`cars/${car}/${name}`, text);
        }
    }
    write('cars/2/x.cfgdump', read(`cars/2/${CLUSTER}`).replace('cluster.dump-', 'clusterr.dump-'));
    const { status, stdout } = call('plan', RETROFIT, 'cars', '--json');
    assert.equal(status, 1);
    const rows: readonly {
      readonly state: string;
      readonly modules: readonly { readonly why: readonly string[] }[];
    }[] = JSON.parse(stdout).cars;
    assert.deepEqual(
      rows.map(({ state }) => state),
      ['possible', 'in-the-way'],
    );
    assert.match(JSON.stringify(rows[1]), /x\.cfgdump may be another dump of this module/);
  });
});
