import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { phrase, say } from '../../../shared-core/src/base/index.js';
import { compareDumps, comparisonInWords } from '../../../shared-core/src/compare/index.js';
import { isAccountedFor } from '../../../shared-core/src/compare/reasons.js';
import { convert } from '../../../shared-core/src/convert/index.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { whyNotWhole, withRecords } from '../../../shared-core/src/model/whole.js';
import { EMPTY_PROFILE, readProfile } from '../../../shared-core/src/profile/index.js';
import { END, IMAGE, IMAGE_RECORDS, image, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const PROFILE = profileOf(LINES);
const inWords = (before: Dump, after: Dump) => comparisonInWords(compareDumps(before, after)).map((said) => say(said));
const NOBODY = 'These cannot be called the same, as not everything was read.';

/** The text of a file that is no text of hex lines: as it is decoded from its bytes. */
const decoded = (bytes: Uint8Array) => Buffer.from(bytes).toString('utf8');

describe('rows with hex digits that were not read', () => {
  const profile = profileOf({
    notation: { pattern: '{label:hex}= {data}' },
    addresses: { from: 0, to: 7 },
    totals: [{ method: 'add', bits: 8, over: [{ from: 0, to: 6 }], address: 7 }],
  });
  const bound = (row: string) => bindText('a.txt', `0= 01 02 03 04\n4= 01 02 03 10\n${row}\n`, profile);

  it('keep two dumps from being the same where only one has them, or each has others', () => {
    for (const [one, other] of [
      ['8: FF FF FF FF', '8: FF FF FF FE'],
      ['Checksum = 1234', 'Checksum = 1235'],
      ['Read 2026-11-26', ''],
      ['FFFFFFFF', 'FFFEFFFF'],
      ['crc32: DEADBEEF', 'crc32: DEADBEEA'],
      ['AA', 'AB'],
      ['12h,34h', '12h,35h'],
      ['\\x12\\x34', '\\x12\\x35'],
      ['@8 12 34', '@8 12 35'],
      ['Read 2026-11-26\nRead 2026-11-26', 'Read 2026-11-26'],
    ] as const) {
      for (const [was, now] of [
        [one, other],
        [other, one],
      ] as const)
        assert.equal(compareDumps(bound(was), bound(now)).identical, false, `${was} | ${now}`);
    }
  });

  it('keep nothing from it where both have the same ones, or where they are marked as comments', () => {
    for (const [one, other] of [
      ['8: FF FF FF FF', '8: FF FF FF FF'],
      ['# 8: FF FF FF FF', '# nothing'],
      ['Notes of a good day', 'Other words'],
    ] as const)
      assert.equal(compareDumps(bound(one), bound(other)).identical, true, one);
  });

  it('are never dropped by a conversion', () => {
    const refused = convert(bound('8: FF FF FF FF'), 'intel-hex');
    assert.match(refused.ok ? '' : say(refused.why), /^Row 3 holds hex digits and is not read/);
  });
});

describe('two dumps are never the same because neither could be read', () => {
  const binary = (seed: number) =>
    decoded(Uint8Array.from({ length: 600 }, (_, i) => (i * 7919 * seed + (i >> 3)) & 0xff));
  const utf16 = (text: string) => decoded(Buffer.from(`\ufeff${text}`, 'utf16le'));
  const viewer = (byte: string) => `00000000  ${byte} 4F 00 5F 00 00 00 00  |.O._....|\n*\n00000040\n`;
  const CASES: readonly (readonly [what: string, name: string, before: string, after: string])[] = [
    ['two binaries', 'a.bin', binary(1), binary(3)],
    ['two binaries under the name of an image', 'a.hex', binary(1), binary(3)],
    ['two texts in UTF-16', 'a.cfgdump', utf16(LINES_TEXT), utf16(LINES_TEXT.replace('A1', 'A2'))],
    ['two images in UTF-16', 'a.hex', utf16(`${IMAGE_RECORDS[0]}\n${END}\n`), utf16(`${IMAGE_RECORDS[1]}\n${END}\n`)],
    ['two listings of a hex viewer', 'a.cfgdump', viewer('10'), viewer('20')],
    ['two such listings under the name of an image', 'a.s19', viewer('10'), viewer('20')],
    ['two empty files', 'a.cfgdump', '', ''],
    ['two empty images', 'a.hex', `${END}\n`, `${END}\n`],
    ['files with nothing but comments', 'a.cfgdump', '# one\n', '# other\n'],
  ];
  for (const [what, name, before, after] of CASES) {
    it(what, () => {
      for (const [one, other] of [
        [before, after],
        [before, before],
      ] as const) {
        const comparison = compareDumps(bindText(name, one, EMPTY_PROFILE), bindText(name, other, EMPTY_PROFILE));
        assert.equal(comparison.identical, false);
        assert.deepEqual(new Set(comparison.unread.map(({ side }) => side)), new Set(['before', 'after']));
        assert.equal(say(comparisonInWords(comparison).at(-1) ?? { pattern: '', parts: [] }), NOBODY);
      }
    });
  }

  it('by a pattern, all of whose lines are left alone', () => {
    const profile = profileOf({ notation: { pattern: '[{label:hex}] {data}', otherwise: 'keep' } });
    const [one, other] = ['nothing\n', 'at all\n'].map((text) => bindText('a.txt', text, profile)) as [Dump, Dump];
    assert.equal(compareDumps(one, other).identical, false);
  });
});

describe('a file that is compared or gone back to', () => {
  const said = (read: Parameters<typeof withRecords>[1]) => {
    const result = withRecords('a.cfgdump', read);
    return result.ok ? result.value : say(result.why);
  };

  it('holds at least one record', () => {
    const [dump, none] = [lines(PROFILE, LINES_TEXT), lines(PROFILE, '# nothing\n')];
    assert.equal(said({ ok: true, value: dump }), dump);
    assert.equal(said({ ok: true, value: none }), 'a.cfgdump is no dump: not one line of it is a record.');
    assert.equal(said({ ok: false, why: phrase('gone.') }), 'a.cfgdump cannot be read: gone.');
  });
});

describe('a dump that was not read whole', () => {
  const whole = lines(PROFILE, LINES_TEXT);
  const hex = image(profileOf(IMAGE), ...IMAGE_RECORDS, END);
  const said = (dump: Dump) =>
    whyNotWhole(dump).map(({ row, why }) => `${row === undefined ? '–' : row + 1} ${say(why)}`);

  it('is told from one that was', () => {
    assert.deepEqual([said(whole), said(hex)], [[], []]);
    assert.deepEqual(said(lines(EMPTY_PROFILE, LINES_TEXT)), []);
  });

  const [FIRST, SECOND, THIRD] = IMAGE_RECORDS;
  const CASES: readonly (readonly [what: string, Dump, said: readonly string[]])[] = [
    [
      'a row that cannot be read',
      lines(PROFILE, LINES_TEXT.replace('01 10', '01 1x')),
      ['2 row 2 cannot be read (1 in all).'],
    ],
    [
      'a line that is there twice',
      lines(PROFILE, `${LINES_TEXT}2: 01 10 00 | 11\n`),
      ['5 line 2 is in it twice (1 in all).'],
    ],
    [
      'a line of another length',
      lines(PROFILE, LINES_TEXT.replace('| 11', '')),
      ['2 line 2 is too long or too short (1 in all).'],
    ],
    ['a missing line', lines(PROFILE, LINES_TEXT.replace(/^2:.*\n/m, '')), ['– line 2 is missing (1 in all).']],
    ['a missing file sum', lines(PROFILE, LINES_TEXT.replace(/^total.*\n/m, '')), ['– the file sum is missing.']],
    ['missing addresses', image(hex.profile, FIRST, THIRD, END), ['2 address 0014–0017 is missing (gaps in all: 1).']],
    [
      'a cut-off image',
      image(EMPTY_PROFILE, FIRST, SECOND),
      ['2 row 2: The end record (:00000001FF) is missing: this file may have been cut off.'],
    ],
    [
      'addresses that are held twice',
      image(EMPTY_PROFILE, FIRST, FIRST, END),
      ['2 row 2: Address 0010 is held by the record in row 1 too. Remove one of them.'],
    ],
    ['hex that is no record', image(EMPTY_PROFILE, FIRST, '10 4F 00', END), ['2 row 2 cannot be read (1 in all).']],
    ['repeated lines', image(EMPTY_PROFILE, FIRST, '*', END), ['2 row 2 cannot be read (1 in all).']],
    [
      'a label that is no address',
      lines(profileOf({ addresses: { from: 1, to: 1 } }), '1: 00\nx: 01\n'),
      ['2 the label of row 2 is no address (1 in all).'],
    ],
  ];
  for (const [what, dump, why] of CASES) {
    it(`because of ${what}: what differs is shown, and nothing is called the same`, () => {
      assert.deepEqual(said(dump), why);
      assert.equal(compareDumps(dump, dump).identical, false);
      assert.equal(inWords(dump, dump).at(-1), NOBODY);
    });
  }

  it('still shows what differs', () => {
    const torn = LINES_TEXT.replace('00 00 00', '00 00 0x');
    const comparison = compareDumps(whole, lines(PROFILE, torn.replace('01 10 00 | 11', '00 10 00 | 10')));
    assert.deepEqual(
      comparison.lines.map(({ label }) => label),
      [2],
    );
    assert.equal(comparison.unread.length, 1);
  });
});

describe('both sides are read by one profile', () => {
  it('whichever of them names it, and however often it was read', () => {
    const again = profileOf(LINES);
    assert.notEqual(again, PROFILE);
    const changed = LINES_TEXT.replace('01 10 00 | 11', '00 10 00 | 10').replace('02 27', '02 26');
    for (const [before, after] of [
      [PROFILE, again],
      [EMPTY_PROFILE, PROFILE],
      [PROFILE, EMPTY_PROFILE],
    ] as const) {
      assert.equal(compareDumps(lines(before, LINES_TEXT), lines(after, LINES_TEXT)).identical, true);
      const { options } = compareDumps(lines(before, LINES_TEXT), lines(after, changed));
      assert.deepEqual(
        options.map(({ option }) => option.id),
        ['fog'],
      );
    }
  });

  it('so that what the other one reads otherwise is not the same', () => {
    const pattern = profileOf({ notation: { pattern: '<{label}> {data}' } });
    const [own, other] = [bindText('a.txt', '<1> 10 4F\n', pattern), lines(profileOf({}), '1: 10 4F\n')];
    assert.equal(compareDumps(own, other).identical, false);
    assert.equal(compareDumps(own, bindText('a.txt', '<1> 10 4F\n', EMPTY_PROFILE)).identical, true);
  });

  it('proves nothing where that has a problem, or could not be read', () => {
    const { profile } = readProfile(JSON.stringify({ format: 1, ...LINES, lockd: [] }));
    const flawed = lines(profile, LINES_TEXT);
    assert.equal(compareDumps(flawed, flawed).identical, false);
    assert.match(inWords(flawed, flawed)[0] ?? '', /^The profile has problems \(1\), so nothing is proved by it/);
    const named = lines(EMPTY_PROFILE, `@profile gone.json\n${LINES_TEXT}`);
    assert.equal(compareDumps(named, named).identical, false);
    assert.match(inWords(named, named)[0] ?? '', /^The profile "gone\.json" could not be read/);
  });
});

describe('what no work changes', () => {
  it('is named first, security before locks, and is never accounted for by anything else', () => {
    const text = LINES_TEXT.replace('A1 B2 C3', 'A1 B3 C4').replace('01 10 00', '00 20 00');
    const comparison = compareDumps(lines(PROFILE, LINES_TEXT), lines(PROFILE, text));
    assert.deepEqual(inWords(lines(PROFILE, LINES_TEXT), lines(PROFILE, text)).slice(0, 3), [
      'Do not write this: Byte 2 of line 2 holds "Immobiliser", which concerns the security of the vehicle: 10 → 20',
      'Do not write this: Byte 2–3 of line 1 is locked (identity): B2 C3 → B3 C4',
      'Fog lamps: yes → no',
    ]);
    assert.deepEqual(
      comparison.lines.flatMap(({ bytes }) => bytes.map(({ reason }) => reason)),
      ['locked', 'locked', 'option', 'security'],
    );
    assert.doesNotMatch(inWords(lines(PROFILE, LINES_TEXT), lines(PROFILE, text)).join(), /Nothing else differs/);
  });

  it('counts by the bits of a security option, and by all bits of a lock that also holds something else', () => {
    const shared = profileOf({
      ...LINES,
      options: [
        ...LINES.options,
        { id: 'low', title: 'Low', line: 2, byte: 2, bits: '3-0', values: { 0: 'a', 1: 'b' } },
      ],
      volatile: [{ line: 1, byte: 1 }],
    });
    const reasons = (from: string, to: string) =>
      compareDumps(lines(shared, LINES_TEXT), lines(shared, LINES_TEXT.replace(from, to))).lines.flatMap(({ bytes }) =>
        bytes.map(({ reason, volatile }) => [reason, volatile]),
      );
    assert.deepEqual(reasons('01 10', '01 11'), [['option', false]]);
    assert.deepEqual(reasons('01 10', '01 21'), [['security', false]]);
    assert.deepEqual(reasons('A1 B2', 'A2 B2'), [['locked', false]]);
  });

  it('is named of an image too, and where only one side has it', () => {
    const profile = profileOf(IMAGE);
    const old = image(profile, ...IMAGE_RECORDS, END);
    const [, ...others] = IMAGE_RECORDS;
    const { guarded } = compareDumps(old, image(profile, ':02001000A1B28B'.replace('8B', '9B'), ...others, END));
    assert.deepEqual(
      guarded.map(({ kind, from, before, after }) => [kind, from, before, after]),
      [['locked', 2, [0xc3], [undefined]]],
    );
  });
});

describe('bytes that only one side has', () => {
  it('are never accounted for, whatever the place holds', () => {
    const profile = profileOf({ options: [{ id: 'o', title: 'O', line: 1, byte: 3, values: { 0: 'a', 2: 'b' } }] });
    const [short, long] = [lines(profile, '1: 00 01\n'), lines(profile, '1: 00 01 02\n')];
    for (const [before, after, was, now] of [
      [short, long, undefined, 2],
      [long, short, 2, undefined],
    ] as const) {
      const comparison = compareDumps(before, after);
      assert.deepEqual(
        comparison.lines.flatMap(({ bytes }) => bytes),
        [{ byte: 3, before: was, after: now, reason: 'unexplained', volatile: false }],
      );
    }
  });

  it('an image and lines are compared by address, whichever comes first', () => {
    const [one, other] = [
      image(EMPTY_PROFILE, ':0200000000 01FD'.replace(' ', ''), END),
      lines(EMPTY_PROFILE, '0: 00 01\n'),
    ];
    for (const comparison of [compareDumps(one, other), compareDumps(other, one)])
      assert.deepEqual([comparison.kind, comparison.lines], ['image', []]);
  });

  it('what a reason accounts for', () => {
    const reasons = [
      'option',
      'line-sum',
      'balance',
      'total',
      'locked',
      'security',
      'volatile',
      'unexplained',
    ] as const;
    assert.deepEqual(reasons.filter(isAccountedFor), ['option', 'line-sum', 'balance', 'total']);
  });
});
