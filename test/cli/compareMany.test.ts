import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';

const FOUND = 'rear-body.as-found.cfgdump';
const REAR = 'rear-body.cfgdump';
const READ = 'rear-body.read-back.cfgdump';

describe('more than two dumps compared on the command line', () => {
  const { call, read, write } = bench();

  it('are a table of what differs', () => {
    const { status, stdout } = call('compare', FOUND, REAR, READ);
    assert.equal(status, 1);
    const [head, ...rows] = stdout.trimEnd().split('\n');
    assert.match(
      head ?? '',
      new RegExp(`^ +${[FOUND, REAR, READ].map((name) => `${name.replaceAll('.', '\\.')} *`).join('')}$`),
    );
    assert.match(rows[0] ?? '', /^Trailer socket +none +13-pin +13-pin$/);
    // Its sum does not go with the option in one of them.
    assert.match(rows[1] ?? '', /^Line 4, byte 7 +88 +88 +A8$/);
    assert.match(rows[2] ?? '', /^Line 18, byte 2 +1A +1A +1B$/);
    assert.equal(rows[3], 'Bytes that differ by these options: 1');
    assert.match(rows[4] ?? '', /^Bytes of sums that follow: \d$/);
    assert.equal(rows.length, 5);
  });

  it('are of any cars, and of one kind of module', () => {
    const of = (name: string, header: string) =>
      write(name, `${header}\n${read(REAR).replace(/^@(seal|vehicle|vin|part).*\n/gm, '')}`);
    for (const car of ['1', '2', '3']) of(`${car}.cfgdump`, `@vehicle car ${car}`);
    const cars = call('compare', '1.cfgdump', '2.cfgdump', '3.cfgdump');
    assert.deepEqual([cars.status, cars.stdout], [0, 'All 3 are the same, byte for byte.\n']);
    of('4.cfgdump', '@part other');
    of('5.cfgdump', '@part own');
    const parts = call('compare', '4.cfgdump', '5.cfgdump', '1.cfgdump');
    assert.equal(parts.status, 2);
    assert.match(parts.stderr, /two modules: "@part" is "other" in one and "own" in the other/);
  });

  it('count only what is not in the table: a sum that is wrong in one of them is in it, in whatever order', () => {
    write(
      'wrong.cfgdump',
      read(FOUND)
        .replace(/^@seal.*\n/m, '')
        .replace(/^( ?9: .*)(..)$/m, '$1EE'),
    );
    for (const files of [
      [FOUND, FOUND, 'wrong.cfgdump'],
      ['wrong.cfgdump', FOUND, FOUND],
    ]) {
      const { status, stdout } = call('compare', ...files);
      assert.equal(status, 1);
      assert.match(stdout, /^Line 9, byte \d+ .*EE/m);
      assert.doesNotMatch(stdout, /sums that follow/);
    }
  });

  it('say with "the same" what nobody can tell: that no profile explains them, or that one names none', () => {
    const bare = read(FOUND).replace(/^@.*\n/gm, '');
    for (const name of ['a', 'b', 'c']) write(`${name}.cfgdump`, bare.replace(/^ ?7: .*\n/m, ''));
    const without = call('compare', 'a.cfgdump', 'b.cfgdump', 'c.cfgdump');
    assert.deepEqual(
      [without.status, without.stdout.split('\n')],
      [
        0,
        [
          'All 3 are the same, byte for byte.',
          'No profile explains them, so nobody can tell that nothing is missing from all of them.',
          '',
        ],
      ],
    );
    write('bare.cfgdump', bare);
    const one = call('compare', FOUND, 'bare.cfgdump', FOUND);
    assert.match(
      one.stdout,
      /^bare\.cfgdump: One names the profile "rear-body\.dump-profile\.json", the other names none\.$/m,
    );
    const json = call('compare', FOUND, 'bare.cfgdump', FOUND, '--json');
    assert.match(JSON.parse(json.stdout).caveats[0], /names none/);
  });

  it('are the same only where all are', () => {
    write('copy.cfgdump', read(FOUND).replace(/^@seal.*\n/m, ''));
    assert.deepEqual(call('compare', FOUND, 'copy.cfgdump', FOUND), {
      status: 0,
      stdout: 'All 3 are the same, byte for byte.\n',
      stderr: '',
    });
    write('cut.cfgdump', read('copy.cfgdump').replace(/^ ?9: .*\n/m, ''));
    const { status, stdout } = call('compare', FOUND, 'copy.cfgdump', 'cut.cfgdump');
    assert.equal(status, 2);
    assert.match(stdout, /^cut\.cfgdump: Line 9 is missing now\.$/m);
    assert.doesNotMatch(stdout, /are the same/);
  });

  it('are refused where one is of another kind or cannot be read', () => {
    for (const name of ['cluster.cfgdump', 'missing.cfgdump', 'trailer-socket.retrofit.json']) {
      const { status, stderr } = call('compare', FOUND, REAR, name);
      assert.equal(status, 2, stderr);
    }
  });

  it('are JSON for scripts', () => {
    const { identical, options, bytes } = JSON.parse(call('compare', '--json', FOUND, REAR, READ).stdout);
    assert.equal(identical, false);
    assert.deepEqual(options, [
      { id: 'trailer-socket', title: 'Trailer socket', values: ['none', '13-pin', '13-pin'] },
    ]);
    assert.deepEqual(
      bytes.find(({ label }: { label: string }) => label === '18'),
      { label: '18', byte: 2, values: ['1A', '1A', '1B'], reason: 'volatile' },
    );
    write('p.dump-profile.json', JSON.stringify({ format: 1, addresses: { from: 0xff, to: 0x102 } }));
    for (const [name, last] of [
      ['one', '40'],
      ['two', '40'],
      ['three', '41'],
    ])
      write(`${name}.cfgdump`, `@profile p.dump-profile.json\n0xFF: 10 20 30 ${last}\n`);
    const images = call('compare', '--json', 'one.cfgdump', 'two.cfgdump', 'three.cfgdump');
    assert.deepEqual(JSON.parse(images.stdout).bytes, [
      { label: '00FF', byte: 4, address: '0102', values: ['40', '40', '41'], reason: 'unexplained' },
    ]);
  });
});
