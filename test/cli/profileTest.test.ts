// Profiles held against their samples: what a profile says wrongly of a sample that is right must be found, and what
// nothing was shown of is never called proved.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { bench } from '../support/commandLine.js';
import { LINES, LINES_TEXT } from '../support/smallDumps.js';

const PROFILE = 'a.dump-profile.json';
const SAMPLES = [{ dump: 'sample.cfgdump', expect: { fog: 'yes' } }];

describe('profile test', () => {
  const { call, write, everything } = bench('empty');
  const put = (profile: object = {}, dump = LINES_TEXT) => {
    write(PROFILE, JSON.stringify({ format: 1, ...LINES, samples: SAMPLES, ...profile }));
    write('sample.cfgdump', dump);
  };
  const tested = (words: RegExp, status: number) => {
    const before = everything();
    const answer = call('profile', 'test', '.');
    assert.deepEqual([answer.status, answer.stderr], [status, ''], answer.stdout);
    assert.match(answer.stdout, words);
    assert.deepEqual(everything(), before);
  };

  it('sets each option to each of its values and back', () => {
    put();
    // The immobiliser is no option that anybody sets.
    tested(
      /^a\.dump-profile\.json: sample\.cfgdump fits; set and set back: 1 options, 1 values\n.*samples: 1, without a sample: 0, with faults: 0\n$/,
      0,
    );
  });

  it('names what is wrong with a profile by its line and column', () => {
    put();
    write(PROFILE, '{\n  "format": 1,\n  "colour": 1\n}\n');
    tested(/(?:^|\D)3:3: profile-invalid: .*colour/m, 1);
  });

  const FOG = LINES.options[0];
  const KEPT = { totals: [{ ...LINES.totals[0], keep: true }] };
  for (const [what, profile, words] of [
    [
      'an option that is set otherwise',
      { samples: [{ dump: 'sample.cfgdump', expect: { fog: 'no' } }] },
      /Fog lamps is expected to be no, and is yes\./,
    ],
    ['a value that no option knows', { samples: [{ dump: 'sample.cfgdump', expect: { fog: 'maybe' } }] }, /maybe/],
    ['a rule that does not fit', { lineSum: { method: 'xor', over: ['data'] } }, /line-sum/],
    [
      'a value that the dump holds and the profile does not know',
      { options: [{ ...FOG, values: { 0: 'no' } }], samples: [{ dump: 'sample.cfgdump' }] },
      /option-value/,
    ],
    ['a line that the profile does not expect', { lines: { ...LINES.lines, to: 2 }, balance: [] }, /line-unknown/],
    ['a sum that nothing can balance', { ...KEPT, balance: [] }, /Fog lamps cannot become no: /],
    ['a sample that is missing', { samples: [{ dump: 'other.cfgdump' }] }, /other\.cfgdump/],
    [
      'a profile that is not valid',
      { lockd: [] },
      /:1: profile-invalid: .*"locked" is probably meant|\d:\d+: profile-invalid/,
    ],
  ] as const)
    it(`finds ${what}`, () => {
      put(profile);
      tested(words, 1);
      tested(/samples: 0, without a sample: 0, with faults: 1\n$/, 1);
    });

  it('finds a sample whose digits were changed', () => {
    for (const changed of [LINES_TEXT.replace('00 00 00', '00 01 00'), LINES_TEXT.replace('02 27', '02 28')]) {
      put({}, changed);
      tested(/with faults: 1/, 1);
    }
  });

  it('finds a condition on a profile that cannot be read, and on an option that another has not; so does check', () => {
    const needs = (option: string, profile: string) => ({
      options: [{ ...FOG, needs: [{ profile, option, in: [1] }] }],
    });
    put(needs('x', 'zz.dump-profile.json'));
    tested(/profile-invalid: .*zz\.dump-profile\.json.*no such file/, 1);
    assert.match(call('check', PROFILE).stdout, /profile-invalid: .*zz\.dump-profile\.json.*no such file/);
    put(needs('x', 'b.dump-profile.json'));
    write('b.dump-profile.json', JSON.stringify({ format: 1, ...LINES, samples: [] }));
    tested(/a\.dump-profile\.json: .*"x"/, 1);
  });

  it('sets what an option needs of the same dump with it, and finds a need that nothing can meet', () => {
    const other = { id: 'rear', title: 'Rear', line: 3, byte: 1, bits: '3-0', values: { 0: 'no', 1: 'yes' } };
    const needs = (value: number) => ({
      options: [FOG, { ...other, needs: [{ option: 'fog', in: [value] }] }],
      samples: [{ dump: 'sample.cfgdump' }],
    });
    const dump = LINES_TEXT.replace('01 10 00 | 11', '00 10 00 | 10').replace('02 27', '02 26');
    put(needs(1), dump);
    tested(/set and set back: 2 options, 2 values/, 0);
    put(needs(7), dump);
    tested(/Rear cannot become yes: /, 1);
  });

  for (const [what, option, bytes] of [
    ['a date', { bytes: '1-3', date: 'DDMMYY', coding: 'bcd' }, [0x28, 0x02, 0x24]],
    ['weeks that are counted', { bytes: '1-2', order: 'big', date: { since: '2020-01-01', days: 7 } }, [0, 0, 0]],
    ['a text', { bytes: '1-3', text: 'ascii' }, [0x42, 0x43, 0x44]],
    ['a number with ends between its steps', { byte: 1, number: { scale: 3, min: 1, max: 100 } }, [2, 0, 0]],
    ['a number that falls', { byte: 1, number: { scale: -3, offset: 100, min: 1, max: 98 } }, [2, 0, 0]],
  ] as const)
    it(`sets ${what} and takes it back, or says why that cannot be`, () => {
      const sum = [...bytes].reduce<number>((all, byte) => all + byte, 0);
      const hex = (number: number, digits: number) => number.toString(16).padStart(digits, '0');
      const line = `${bytes.map((byte) => hex(byte, 2)).join(' ')} | ${hex(sum & 0xff, 2)}`;
      const dump = LINES_TEXT.replace('00 00 00 | 00', line).replace('02 27', hex(0x227 + sum, 4));
      const given = {
        options: [{ id: 'x', title: 'X', line: 3, ...option }],
        samples: [{ dump: 'sample.cfgdump' }],
        balance: [],
      };
      put(given, dump);
      tested(/set and set back: 1 options, [1-9] values/, 0);
      put({ ...given, ...KEPT }, dump);
      tested(/X cannot become /, 1);
    });

  it('proves nothing where not one option could be tried', () => {
    put({ options: [LINES.options[1]], samples: [{ dump: 'sample.cfgdump' }] });
    tested(
      /sample\.cfgdump fits, but no option could be tried\.\n.*samples: 0, without a sample: 0, with faults: 0\nProfiles of which no option could be tried: 1\n$/,
      0,
    );
  });

  it('calls a profile without a sample unproved', () => {
    put({ samples: [] });
    tested(/names no sample, so nothing is proved\.\n.*samples: 0, without a sample: 1, with faults: 0/, 0);
  });

  it('counts the profiles of each kind; one wrong sample beside a right one is a fault', () => {
    put();
    const of = (name: string, profile: object) =>
      write(`${name}.dump-profile.json`, JSON.stringify({ format: 1, ...LINES, samples: SAMPLES, ...profile }));
    const untried = { options: [LINES.options[1]], samples: [{ dump: 'sample.cfgdump' }] };
    for (const name of ['b', 'c']) of(name, {});
    for (const name of ['d', 'e', 'f', 'g']) of(name, { samples: [] });
    of('h', { samples: [...SAMPLES, { dump: 'sample.cfgdump', expect: { fog: 'no' } }] });
    of('i', { lockd: [] });
    for (const name of ['j', 'k']) of(name, untried);
    // Of five profiles the samples fit, of two no option could be tried.
    tested(/samples: 3, without a sample: 4, with faults: 2\nProfiles of which no option could be tried: 2\n$/, 1);
    const { profiles, failed } = JSON.parse(call('profile', 'test', '.', '--json').stdout);
    assert.deepEqual([profiles.length, failed], [11, 2]);
  });

  it('is refused where there is no profile', () => {
    write('sample.cfgdump', LINES_TEXT);
    const { status, stdout, stderr } = call('profile', 'test', '.');
    assert.deepEqual([status, stdout], [2, ''], stderr);
    assert.match(stderr, /^countersum: \.: no profile was found there\. Profiles end in \.dump-profile\.json\.$/m);
  });

  it('is JSON for scripts', () => {
    put();
    const { profiles, failed } = JSON.parse(call('profile', 'test', '--json', PROFILE).stdout);
    assert.deepEqual(
      [profiles, failed],
      [
        [
          {
            file: PROFILE,
            faults: [],
            seen: { options: 0, confirmed: 0, tried: 0 },
            samples: [{ dump: 'sample.cfgdump', faults: [], options: 1, values: 1 }],
          },
        ],
        0,
      ],
    );
  });

  it('is one command of two words', () => {
    put();
    assert.match(
      call('profile', '--help').stdout,
      /countersum profile test FOLDER…[\s\S]*countersum profile merge MINE/,
    );
    assert.match(call('profile', 'test', '--help').stdout, /countersum profile test FOLDER…/);
    assert.match(call('profile').stderr, /There is no command "profile"/);
    assert.match(call('profile', 'tset', '.').stderr, /There is no command "profile"/);
  });
});
