import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';
import { KEPT_VALUES, keptValues } from '../support/keptValues.js';

const { call, read, write } = bench('empty');

describe('values as modules keep them, on the command line', () => {
  const setUp = (changed: Readonly<Record<number, string>> = {}) => {
    write('p.dump-profile.json', JSON.stringify(KEPT_VALUES));
    write('found.cfgdump', keptValues());
    write('a.cfgdump', keptValues(changed));
  };

  it('are known to be right', () => {
    setUp();
    const checked = call('check', 'a.cfgdump');
    assert.equal(checked.status, 0, checked.stdout);
  });

  for (const [wish, line, says] of [
    ['mileage=123456', '1: 12 34 56 29 02 24 FF 00 |', '123456 km'],
    ['made=31.12.1999', '1: 01 23 45 31 12 99 FF 00 |', '1999-12-31'],
    ['made=never', '1: 01 23 45 00 00 00 FF 00 |', 'never'],
    ['limit=200', '1: 01 23 45 29 02 24 C8 00 |', '200 km/h'],
    ['trim=sport', '2: 42 00 81 22 79 00 00 00 |', 'sport'],
    ['sold=2000-01-02', '2: 40 00 01 00 01 00 00 00 |', '2000-01-02'],
    ['name=Ω', '3: A9 03 00 00 00 00 21 F3 |', '"Ω"'],
    ['wheel.2=7', '2: 40 00 01 22 79 00 00 07 |', '7'],
    ['plate=9876', '3: D6 00 6C 00 00 00 89 67 |', '"9876"'],
  ] as const) {
    it(`${wish} is set, with the sum of its line`, () => {
      setUp();
      const set = call('set', 'a.cfgdump', wish, '--write');
      assert.equal(set.status, 0, set.stdout + set.stderr);
      assert.ok(read('a.cfgdump').includes(line), read('a.cfgdump'));
      assert.equal(call('check', 'a.cfgdump').status, 0);
      assert.equal(call('compare', 'found.cfgdump', 'a.cfgdump').status, 1);
      // Set back in the words in which it was shown, the dump is as it was found.
      const { options } = JSON.parse(call('compare', 'found.cfgdump', 'a.cfgdump', '--json').stdout);
      const [{ id, before, after }] = options;
      assert.equal(after, says);
      assert.equal(call('set', 'a.cfgdump', `${id}=${before}`, '--write').status, 0);
      assert.equal(read('a.cfgdump'), read('found.cfgdump'));
    });
  }

  it('that do not exist are refused, and named by a check', () => {
    setUp();
    for (const [wish, why] of [
      ['made=31.02.2024', /takes a date or time that exists and that its bytes can hold, such as 2024-02-29/],
      ['made=01/02/2024', /can mean 2024-02-01 or 2024-01-02/],
      ['limit=255', /bits of "255" mean "not set"/],
      ['mileage=1000000', /too few bits/],
      ['plate=12A', /up to 4 decimal digits/],
    ] as const) {
      const refused = call('set', 'a.cfgdump', wish, '--write');
      assert.equal(refused.status, 2, wish);
      assert.match(refused.stderr, why);
    }
    setUp({ 1: '01 23 4A 31 02 24 FF 00', 2: '42 00 01 22 79 00 00 00' });
    const checked = call('check', 'a.cfgdump');
    assert.equal(checked.status, 1);
    assert.match(checked.stdout, /Mileage is 0x01234A, but it holds decimal digits only/);
    assert.match(checked.stdout, /Made on is 0x310224, which is no date or time that exists/);
    assert.match(checked.stdout, /Trim is 4, a value the profile does not know/);
  });

  it('are conditions of others, in words', () => {
    setUp({ 1: '01 23 45 29 02 24 50 00', 2: '42 00 81 22 79 00 00 00' });
    assert.match(call('check', 'a.cfgdump').stdout, /Trim "sport" needs Limit at "not set"; it is "80 km\/h"/);
  });

  it('stand on cards and in comparisons as they are set', () => {
    setUp({ 1: '01 23 45 31 12 99 FF 00', 2: '42 00 81 22 79 00 00 00' });
    const card = call('card', 'found.cfgdump', 'a.cfgdump').stdout;
    assert.match(card, /Made on.*2024-02-29.*1999-12-31/);
    assert.match(card, /Trim.*plain.*sport/);
    const { options, lines } = JSON.parse(call('compare', 'found.cfgdump', 'a.cfgdump', '--json').stdout);
    assert.deepEqual(
      options.map(({ before, after }: { before: string; after: string }) => [before, after]),
      [
        ['2024-02-29', '1999-12-31'],
        ['plain', 'sport'],
      ],
    );
    assert.doesNotMatch(JSON.stringify(lines), /unexplained/);
  });
});
