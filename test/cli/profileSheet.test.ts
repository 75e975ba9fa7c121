// Options as a sheet: what a spreadsheet makes of it comes back, and what contradicts the profile is refused.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { csvText, readCsv } from '../../shared-core/src/base/csv.js';
import { bench } from '../support/commandLine.js';

const PROFILE = 'rear-body.dump-profile.json';

describe('CSV', () => {
  /** The examples of RFC 4180, chapter 2. */
  for (const [given, rows] of [
    [
      'aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n',
      [
        ['aaa', 'bbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    [
      'aaa,bbb,ccc\r\nzzz,yyy,xxx',
      [
        ['aaa', 'bbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    [
      '"aaa","bbb","ccc"\r\nzzz,yyy,xxx',
      [
        ['aaa', 'bbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    [
      '"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx',
      [
        ['aaa', 'b\r\nbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    ['"aaa","b""bb","ccc"', [['aaa', 'b"bb', 'ccc']]],
    [
      '\uFEFFa;"b,c";\nd;;e\n',
      [
        ['a', 'b,c', ''],
        ['d', '', 'e'],
      ],
    ],
  ] as const) {
    it(`is read as it is published, and as spreadsheets write it: ${JSON.stringify(given)}`, () => {
      const read = readCsv(given);
      assert.deepEqual(read.ok && read.value, rows);
    });
  }

  it('comes back as it was, and nothing in it begins as a formula does', () => {
    const cell = fc.oneof(fc.string(), fc.stringMatching(/^['=+@,;"\r\n-]{0,4}a$/));
    const rows = fc
      .integer({ min: 2, max: 4 })
      .chain((width) =>
        fc.array(fc.array(cell, { minLength: width, maxLength: width }), { minLength: 1, maxLength: 5 }),
      );
    fc.assert(
      fc.property(rows, (given) => {
        const all = [
          given
            .map((_, at) => `c${at}`)
            .slice(0, 2)
            .concat('x'),
          ...given.map((row) => [...row, 'x']),
        ];
        const read = readCsv(csvText(all));
        assert.deepEqual(read.ok && read.value, all);
        for (const one of given.flat()) assert.doesNotMatch(csvText([[one]]), /^"?[=+@-]/);
      }),
    );
  });

  it('that is torn is refused', () => {
    for (const torn of ['"a', 'a"b"', '"a"b']) assert.equal(readCsv(torn).ok, false, torn);
  });
});

describe('a sheet of options', () => {
  const { call, read, write, everything } = bench();
  const sheet = () => call('profile', 'export', PROFILE).stdout;
  const taken = (csv: string) => {
    write('a.csv', csv);
    return call('profile', 'import', 'a.csv', PROFILE);
  };

  it('comes back into the profile as it was, byte for byte', () => {
    assert.match(sheet(), /^id,title,group,place,values,note\r\n/);
    for (const csv of [sheet(), `\uFEFF${sheet().replaceAll('\r\n', '\n')}`]) {
      const { status, stdout, stderr } = taken(csv);
      assert.deepEqual([status, stderr], [0, '']);
      assert.equal(stdout, read(PROFILE));
    }
  });

  it('is made of no profile that has problems, as what is left out of it would be missing in the sheet', () => {
    write(PROFILE, read(PROFILE).replace('"trailer-socket"', '"rear-fog-cutout"'));
    const { status, stdout, stderr } = call('profile', 'export', PROFILE);
    assert.deepEqual([status, stdout], [2, '']);
    assert.match(stderr, /rear-body\.dump-profile\.json has problems; correct them first\./);
  });

  it('gives titles, words and notes, also under another name', () => {
    const csv = sheet().replace('Trailer socket', '"Socket, ""new"""').replace('13-pin', '13 contacts');
    const { status, stdout, stderr } = taken(csv);
    assert.equal(status, 0, stderr);
    assert.match(stdout, /"Socket, \\"new\\""/);
    assert.match(stdout, /"13 contacts"/);
    assert.match(stderr, /samples and retrofits/);
    const before = read(PROFILE);
    assert.equal(call('profile', 'import', 'a.csv', PROFILE, '--out', 'b.dump-profile.json').status, 0);
    assert.equal(read(PROFILE), before);
    assert.equal(read('b.dump-profile.json'), stdout);
    assert.equal(call('profile', 'import', 'a.csv', PROFILE, '--write').status, 0);
    assert.equal(read(PROFILE), stdout);
  });

  for (const [what, from, to, why] of [
    ['an option that is not there', /^trailer-socket,/m, 'trailer-hook,', /"trailer-hook", which is no option/],
    ['an option twice', /^(trailer-socket,(?:"[^"]*"|[^"])*?\r\n)(?=[a-z-]+,)/m, '$1$1', /"trailer-socket" twice/],
    ['another place', /line: 4/, 'line: 5', /is at .*line: 4.* and at .*line: 5/],
    ['a value that is none', '0 = ', '9 = ', /has no value 9/],
    ['a value that is no value', '0 = ', 'nothing ', /is no value and its word/],
    ['no column of places', 'place', 'where', /no column "place"/],
  ] as const) {
    it(`with ${what} is refused, and nothing is changed`, () => {
      const csv = sheet();
      const spoiled = csv.replace(from, to);
      assert.notEqual(spoiled, csv);
      write('a.csv', spoiled);
      const before = everything();
      const { status, stderr, stdout } = call('profile', 'import', 'a.csv', PROFILE, '--write');
      assert.deepEqual([status, stdout], [2, '']);
      assert.match(stderr, why);
      assert.deepEqual(everything(), before);
    });
  }
});
