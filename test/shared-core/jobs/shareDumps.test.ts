// Copies for others: which values are looked for, what becomes of bytes, sums, rows and names, and when there is no copy.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { phrase, say } from '../../../shared-core/src/base/phrase.js';
import { unfitBackup } from '../../../shared-core/src/checks/backup.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { shareDumps } from '../../../shared-core/src/jobs/index.js';
import { personalLooks, personalLooksIn, vinsIn } from '../../../shared-core/src/jobs/share/looksPersonal.js';
import { sealInWords, sharedInWords } from '../../../shared-core/src/jobs/share/shareDumps.js';
import { sharedPage } from '../../../shared-core/src/jobs/share/sharedPage.js';
import { changeDump } from '../../../shared-core/src/model/gate.js';
import { headerValues } from '../../../shared-core/src/model/headers.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { sealOf } from '../../../shared-core/src/model/seal.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/readProfile.js';
import {
  codes,
  copied,
  dataIn,
  digits,
  hexOf,
  PROFILE_FILE,
  problems,
  refusal,
  source,
  sumOf,
  textOf,
  VIN,
} from '../../support/sharedCopies.js';
import { profileOf } from '../../support/smallDumps.js';

describe('values that are looked for in copies', () => {
  const FILLED = [...codes(VIN), 0x80, ...codes('Q7Z9KB'), 0x80, 0x80, 0x80, 0x80];

  it('are those of "@vin" and of a "@vehicle" that is one, in parts too; other vehicles are looked for as a whole', () => {
    for (const header of ['@vin', '@vehicle'])
      assert.doesNotMatch(copied(source(textOf(codes(VIN.slice(9)), [`${header} ${VIN}`]))).text, /35 54 41 30 32 30/);
    const whole = textOf(codes('blue van 4'), ['@vehicle blue van 4', '# the blue van 4, a blue van']);
    const { text } = copied(source(whole));
    assert.doesNotMatch(text, /blue van 4/);
    assert.match(text, /a blue van$/m);
    assert.notDeepEqual(dataIn(text), dataIn(whole));
  });

  it('are those that a person names: long ones in parts too, short ones as a whole', () => {
    const text = (comment: string) => textOf(FILLED, [`# ${comment}`]);
    assert.doesNotMatch(copied(source(text('Q7Z9KBX')), ['Q7Z9KBX']).text, /Q7Z9KBX|51 37 5A 39/);
    const part = copied(source(text('Q7Z9K')), ['Q7Z9KB']);
    assert.match(part.text, /# Q7Z9K$/m, 'six characters count as a whole');
    assert.match(copied(source(text('Q7Z9KBX')), ['Q7Z9KBXY']).text, /# (?!Q7Z9KB)\w{7}$/m);
    assert.doesNotMatch(copied(source(textOf([], [`# its end is ${VIN.slice(-8)}`])), [VIN]).text, /TA020418|A020418/);
  });

  it('are looked for in the bytes where they are hex pairs, with blanks as the dump shows them or without', () => {
    const masked = (bytes: readonly number[], hidden: string) => {
      const { text, said, notFound, dump } = copied(source(textOf([0x80, ...bytes], ['# 9C 22 31 4E'])), [hidden]);
      assert.deepEqual([notFound, problems(dump)], [[], []], hidden);
      assert.doesNotMatch(text, /9C 22 31 4E/, hidden);
      return [dataIn(text).slice(1, 1 + bytes.length), said.filter((one) => one.startsWith('Line'))];
    };
    const bytes = [0x9c, 0x22, 0x31, 0x4e];
    for (const hidden of ['9C 22 31 4E', '9c-22-31-4e', '9C22 314E', '9C22314E'])
      assert.deepEqual(masked(bytes, hidden), [
        [0x00, 0x00, 0x00, 0x10],
        ['Line 1, byte 2: personal value (8 characters, hex), masked'],
      ]);
    assert.deepEqual(masked([...bytes].reverse(), '9C 22 31 4E')[0], [0x10, 0x00, 0x00, 0x00]);
    const decimal = copied(source(textOf([0x80, 0x10, 0x22, 0x31])), ['10 22 31']);
    assert.deepEqual(dataIn(decimal.text).slice(0, 4), [0x80, 0x00, 0x00, 0x01]);
  });

  it('have masks in which none of them is, whatever is between the characters', () => {
    const { text } = copied(source(textOf([], ['@vehicle van 12-7'])), ['10']);
    assert.match(text, /^@vehicle yyy 00-2$/m);
  });

  it('are named where they were found in no copy: what is asked for is never passed over in silence', () => {
    const asked = (hidden: readonly string[], headers: readonly string[] = []) => {
      const { notFound, notes } = copied(source(textOf([], headers)), [VIN, ...hidden]);
      for (const one of notFound)
        assert.ok(notes.some((note) => say(note) === `"${one}" was found in none of the copies`));
      return notFound;
    };
    assert.deepEqual(asked(['ZZTOP99', '10 22 31']), [VIN, 'ZZTOP99', '10 22 31']);
    assert.deepEqual(asked(['Jo Example', 'jé'], [`@vin ${VIN}`, '@owner Jo Example', '# JE\u0301']), []);
    assert.deepEqual(asked(['0DEM'], ['@vehicle 0dem']), [VIN]);
  });

  it('have the same mask in headers, in comments and in bytes, and the person is told of each', () => {
    const { text, said, dump, copy, knowsVin, notes } = copied(
      source(textOf([0x80, ...codes(VIN)], [`@vin ${VIN}`, `# ${VIN.toLowerCase()}`])),
    );
    const [, mask = ''] = /^@vin (.*)$/m.exec(text) ?? [];
    assert.match(mask, /^[A-HJ-NPR-Z0-9]{17}$/);
    assert.notEqual(mask, VIN);
    assert.match(text, new RegExp(`^# ${mask.toLowerCase()}$`, 'm'));
    assert.deepEqual(dataIn(text).slice(0, 18), [0x80, ...codes(mask)]);
    assert.deepEqual(problems(dump), []);
    assert.deepEqual(said, [
      'Row 1: "@vin" masked',
      'Row 2: masked in a comment',
      'Line 1, byte 2: VIN (17 characters, ASCII), masked',
    ]);
    assert.deepEqual([copy.seal, knowsVin, notes], [undefined, true, []]);
  });

  it('are told with how they were written, and how much of them was there', () => {
    const said = (bytes: readonly number[], hidden = VIN) => copied(source(textOf(bytes)), [hidden]).said;
    assert.deepEqual(said(codes(VIN.slice(-8))), ['Line 1, byte 1: VIN (8 of 17 characters, ASCII), masked']);
    assert.deepEqual(said([...codes(VIN)].reverse()), [
      'Line 1, byte 1: VIN (17 characters, ASCII, from last to first), masked',
    ]);
    assert.deepEqual(said([0x02, 0x04]), []);
    assert.deepEqual(said([0x80, 0x47, 0x11, 0x90, 0x82], '47119082'), [
      'Line 1, byte 2: personal value (8 characters, BCD), masked',
    ]);
    assert.deepEqual(
      said(
        codes('Q7Z9KBX').map((code) => code ^ 0xff),
        'Q7Z9KBX',
      ),
      ['Line 1, byte 1: personal value (7 characters, inverted ASCII), masked'],
    );
  });

  it('include a VIN, or the person is told that none was known', () => {
    const { knowsVin, notes } = copied(source(textOf([])));
    assert.equal(knowsVin, false);
    assert.match(notes.map((one) => say(one)).join(), /^No VIN is known/);
  });
});

describe('rows of a copy for others', () => {
  it('keep what tells of the module, and lose what tells who read it and when, and what it names that is not copied', () => {
    const { text, said } = copied(
      source(
        textOf([], ['@part RB-2001', '@taken 2026-03-02T09:14:00Z', '@owner Jo', '@backup b.cfgdump', '@note fine']),
      ),
    );
    assert.deepEqual(
      text.split('\n').filter((row) => row.startsWith('@')),
      ['@part RB-2001', '@note fine'],
    );
    assert.deepEqual(said, [
      'Row 2: "@taken" is left out',
      'Row 3: "@owner" is left out',
      'Row 4: "@backup" is left out: what it names is not among the copies',
    ]);
  });

  it('keep each header that tells of the module and not of a person', () => {
    const kept = [
      'vehicle car 7',
      'part A-1',
      'software 0311',
      'module 0x10',
      'fitted towing',
      'absent alarm',
      'note fine',
    ];
    const { text } = copied(
      source(
        textOf(
          [],
          kept.map((header) => `@${header}`),
        ),
      ),
      ['nothing of it'],
    );
    const [vehicle, ...others] = text.split('\n').filter((row) => row.startsWith('@'));
    assert.match(vehicle ?? '', /^@vehicle /);
    assert.deepEqual(
      others,
      kept.slice(1).map((header) => `@${header}`),
    );
  });

  it('have the addresses that they had, though a value is written with the same digits', () => {
    const text = '0x00471190: 01 02 03\n# at 471190\n';
    const bare = {
      ...source(textOf([])),
      dump: bindText('a.cfgdump', text, EMPTY_PROFILE),
      profile: { kind: 'none' } as const,
    };
    const after = copied(bare, ['471190']).text;
    assert.match(after, /^0x00471190: 01 02 03\n# at (?!471190)\d{6}\n$/);
  });

  it('are those of a dump that is set aside, too: nothing but what is personal changes in it', () => {
    const { text, dump } = copied(source(textOf(codes('Q7Z9KB'), ['@use comparison'])), ['Q7Z9KB']);
    assert.match(text, /^@use masked\n1: /);
    assert.notDeepEqual(dataIn(text).slice(0, 6), codes('Q7Z9KB'));
    assert.deepEqual(problems(dump), []);
  });

  it('hold no value as the hex of its bytes either, at whatever digit it begins', () => {
    const hex = hexOf(codes('Q7Z9KB'));
    for (const written of [
      hex,
      hex.toLowerCase(),
      hex.replaceAll(' ', ''),
      `0x${hex.replaceAll(' ', ', 0x')}`,
      `a${hex}`,
    ]) {
      const { text } = copied(source(textOf([], [`# ${written}`])), ['Q7Z9KB']);
      const [, comment = ''] = /^# (.*)$/m.exec(text) ?? [];
      const form = (one: string) => one.replace(/[0-9A-F]/g, '0').replace(/[a-f]/g, 'a');
      assert.equal(comment.length, written.length);
      assert.notEqual(form(comment), '', written);
      assert.doesNotMatch(comment.replace(/0x|[ ,]/g, ''), /51375a394b42/i);
    }
    const decoded = (written: string) => {
      const [, comment = ''] = /^# (.*)$/m.exec(copied(source(textOf([], [`# ${written}`])), ['Q7Z9KB']).text) ?? [];
      return Buffer.from(comment.replace(/0x|[ ,]/g, ''), 'hex').toString('latin1');
    };
    const all = [hex, hex.toLowerCase(), hex.replaceAll(' ', '')].map(decoded);
    assert.match(all[0] ?? '', /^[A-Z]\d[A-Z]\d[A-Z][A-Z]$/, 'as it is masked elsewhere');
    assert.deepEqual(new Set(all).size, 1);
    assert.doesNotMatch(copied(source(textOf([], ['# 51 37 5A 39'])), ['Q7Z9']).text, /51 37 5A 39/, 'four bytes too');
  });

  it('name profile and backup as their copies are called, each once', () => {
    const own = source(
      textOf([], ['@profile m.dump-profile.json', '@profile m.dump-profile.json', '@backup b.cfgdump']),
      {},
      {
        backupFile: 'file:///cars/b.cfgdump',
      },
    );
    const backup = source(textOf([]), {}, { file: 'file:///cars/b.cfgdump', name: 'old/A.cfgdump' });
    const profile = { file: PROFILE_FILE, name: 'm.dump-profile.json', text: '{ "format": 1 }', names: new Map() };
    const result = shareDumps([own, backup], [profile], []);
    assert.ok(result.ok);
    assert.deepEqual(
      result.value.dumps.map(({ name }) => name),
      // One name for each, also where a file system takes capitals and small letters for the same.
      ['a.cfgdump', 'A-2.cfgdump'],
    );
    assert.match(result.value.dumps[0]?.text ?? '', /^@profile m\.dump-profile\.json\n@backup A-2\.cfgdump\n1: /);
  });

  it('are called as the files are, without folders and without what is masked', () => {
    const names = (...all: readonly string[]) => {
      const result = shareDumps(
        all.map((name, i) => source(textOf([]), {}, { name, file: `file:///${i}` })),
        [],
        [VIN],
      );
      assert.ok(result.ok);
      return result.value.dumps.map(({ name }) => name);
    };
    assert.deepEqual(names('x\\y/a.cfgdump', 'y\\a.cfgdump', 'a.cfgdump'), ['a.cfgdump', 'a-2.cfgdump', 'a-3.cfgdump']);
    assert.deepEqual(names('.a', '.a', 'b', 'b'), ['.a', '.a-2', 'b', 'b-2']);
    assert.doesNotMatch(names(`${VIN}-body.cfgdump`)[0] ?? '', /0DEM0T/);
    assert.match(names(`${VIN}-body.cfgdump`)[0] ?? '', /^\w{17}-body\.cfgdump$/);
  });

  it('tell what looks personal and was left, in what people wrote and in bytes', () => {
    const { left } = copied(
      source(
        textOf(
          [0x80, ...codes('Anna Muster'), 0x80, 0x80, 0x20, 0x24, 0x02, 0x26, ...Array<number>(18).fill(0x91)],
          [
            `@vin ${VIN}`,
            '# ask jo@example.org, al@example.org or +49 30 1234567 or +49 30 7654321, not 2026-03-02 12:00, 04.05.2025',
            '# like 9KKKM3NP2RS555777, 9KKKM3NP2RS555778',
          ],
        ),
      ),
    );
    assert.deepEqual(left, [
      'Row 2: "jo@example.org" looks like an e-mail address',
      'Row 2: "al@example.org" looks like an e-mail address',
      'Row 2: "+49 30 1234567" looks like a telephone number',
      'Row 2: "+49 30 7654321" looks like a telephone number',
      'Row 2: "2026-03-02" may be a date',
      'Row 2: "04.05.2025" may be a date',
      'Row 3: "9KKKM3NP2RS555777" looks like a VIN',
      'Row 3: "9KKKM3NP2RS555778" looks like a VIN',
      'Line 1, byte 2: the text "Anna Muster"',
      'Line 3, byte 3: 20240226, which may be a date',
    ]);
  });
});

describe('what looks personal in bytes', () => {
  const looks = (bytes: readonly number[], invented: readonly number[] = []) =>
    personalLooks(
      { bytes: Uint8Array.from(bytes), nameOf: (index) => phrase('{0}', index), cellAt: (byte) => ({ row: 0, byte }) },
      (index) => invented.includes(index),
    ).map((one) => say(one));

  it('is told apart where it is a VIN, each once, so that it can be masked too', () => {
    const looks = [`read ${VIN} and ${VIN}`, 'nothing', `again ${VIN.toLowerCase()}`].flatMap((text, row) =>
      personalLooksIn(row, text, []),
    );
    assert.deepEqual(vinsIn(looks), [VIN, VIN.toLowerCase()]);
    assert.deepEqual(vinsIn([]), []);
  });

  it('is a telephone number in whatever groups its digits are, and no date', () => {
    const looks = (text: string) => personalLooksIn(0, text, []).map((one) => say(one));
    for (const number of ['0171-23-45678', '+49 171 2345678', '(0171) 234567', '0171/234567'])
      assert.match(looks(`call ${number}`).join(), /looks like a telephone number$/, number);
    for (const none of ['2026-11-27 09:12', '012345', '0x0123456789', 'v1.0123456789'])
      assert.deepEqual(looks(none), [], none);
  });

  it('is a text of eight characters that are mostly letters and digits, wherever it is', () => {
    assert.deepEqual(looks(codes('Workshop')), ['0: the text "Workshop"']);
    assert.deepEqual(looks([0x80, ...codes('Workshop'), 0x7f]), ['1: the text "Workshop"']);
    for (const nothing of ['Worksho', 'AAAAAAAA', 'A-B-A-B-', '--------', '::A:B:C:'])
      assert.deepEqual(looks(codes(nothing)), [], nothing);
    assert.deepEqual(looks(codes('  Ab12    ')), ['0: the text "  Ab12    "'], 'blanks around it do not count');
    const places = (text: string) => [...codes(text).keys()];
    assert.deepEqual(looks(codes('Workshop'), places('Workshop')), [], 'what is invented is not told');
    assert.deepEqual(looks(codes('Work shop'), [0, 1, 2, 3, 5, 6, 7, 8]), [], 'a blank in it tells nothing');
    assert.deepEqual(looks(codes('Workshop'), places('Worksho')), ['0: the text "Workshop"']);
    assert.deepEqual(looks(codes(VIN)), [`0: "${VIN}", which holds what looks like a VIN`]);
  });

  const DATES: readonly (readonly [string, string | undefined])[] = [
    ['20240226', '20240226'],
    ['26022024', '26022024'],
    ['19900101', '19900101'],
    ['20391231', '20391231'],
    ['19891231', undefined],
    ['20400101', undefined],
    ['240226', '240226'],
    ['311299', undefined],
    ['311239', '311239'],
    ['990131', undefined],
    ['390131', '390131'],
    ['001231', undefined],
    ['321301', undefined],
    ['000126', undefined],
    ['2A0226', undefined],
  ];
  for (const [digits, said] of DATES)
    it(`is ${said === undefined ? 'no ' : ''}day in the digits ${digits}`, () => {
      const bytes = (digits.match(/../g) ?? []).map((pair) => Number.parseInt(pair, 16));
      const expected = (at: number) => (said === undefined ? [] : [`${at}: ${said}, which may be a date`]);
      assert.deepEqual(looks(bytes), expected(0));
      assert.deepEqual(looks([0xff, ...bytes, 0xff, 0xff]), expected(1));
    });

  it('is no day that is invented, and one where only a part of it is', () => {
    assert.deepEqual(looks([0x20, 0x24, 0x02, 0x26], [0, 1, 2, 3]), []);
    assert.deepEqual(looks([0x20, 0x24, 0x02, 0x26], [0, 1, 2]), ['0: 20240226, which may be a date']);
  });

  it('is each day once, and none in a text', () => {
    assert.deepEqual(looks([0x20, 0x24, 0x02, 0x26, 0x01, 0x02, 0x24]), [
      '0: 20240226, which may be a date',
      '4: 010224, which may be a date',
    ]);
    assert.deepEqual(looks([...codes('Workshop $'), 0x22, 0x21]), ['0: the text "Workshop $"!"']);
  });

  it('is told ten times of a kind, and how many more there are', () => {
    const many = looks(Array.from({ length: 12 }, () => [0x20, 0x24, 0x02, 0x26]).flat());
    assert.equal(many.length, 11);
    assert.equal(many.at(-1), '… and 2 more of this kind');
  });
});

describe('the report on what was left', () => {
  it('names nothing that is invented, in whatever way a VIN was written', () => {
    for (const vin of [
      VIN,
      '0DEM0T4X5 TA020418',
      '0DEM0T4X5-TA020418',
      '0DEM 0T4X 5TA0 2041 8',
      '0DEM0T4X5\u200bTA020418',
    ]) {
      const reversed = [...VIN].reverse();
      const { left, notes, knowsVin } = copied(
        source(
          textOf(
            [0x80, ...codes(VIN.slice(8)), 0x80, ...codes(reversed.join('')), ...Array<number>(8).fill(0x80)],
            [`@vin ${vin}`, `# ${reversed.join('')}`],
          ),
        ),
      );
      assert.deepEqual([left, notes, knowsVin], [[], [], true], vin);
    }
  });

  it('says of a short text only what is true: it is masked as characters, and digits of it are not looked for', () => {
    const bytes = [0x80, ...codes('Kim'), 0x80, ...codes('AB1'), 0x80];
    const { said, notes, text } = copied(source(textOf(bytes, [`@vin ${VIN}`])), ['Kim', 'AB1']);
    assert.deepEqual(
      notes.map((one) => say(one)),
      ['"AB1" is too short to be looked for in the bytes as digits'],
    );
    assert.doesNotMatch(String.fromCharCode(...dataIn(text)), /Kim|AB1/);
    assert.equal(said.filter((one) => one.includes('(3 characters, ASCII)')).length, 2);
  });

  it('names keys and codes that are numbers and stay; a text of that kind is masked', () => {
    const options = [
      { id: 'code', title: 'Key code', line: 1, bytes: '1-4', text: 'ascii', hazard: 'security' },
      { id: 'pin', title: 'PIN', line: 2, bytes: '1-2', number: { coding: 'bcd' }, hazard: 'security' },
      { id: 'lock', title: 'Immobiliser', line: 3, byte: 1, values: { 17: 'on', 0: 'off' }, hazard: 'security' },
    ];
    const bytes = [...codes('W5T3'), 0x80, 0x80, 0x47, 0x12];
    const { text, left, said, dump } = copied(source(textOf(bytes, [`@vin ${VIN}`, '# W5T3']), { options }));
    assert.doesNotMatch(String.fromCharCode(...dataIn(text)) + text, /W5T3/);
    assert.deepEqual(dataIn(text).slice(6), dataIn(textOf(bytes)).slice(6));
    assert.ok(said.includes('Key code: something invented is in its place'), said.join());
    assert.deepEqual(left[0], 'PIN: a number of keys, immobiliser or alarm');
    assert.doesNotMatch(left.join(), /Key code|Immobiliser:/);
    assert.deepEqual(problems(dump), []);
  });
});

describe('bytes of a copy for others', () => {
  const LOCKED = [{ line: 1, bytes: '1-6', why: 'identity' }];

  it('change where they are personal and locked, and no other locked byte does', () => {
    const bytes = [0x80, 0x81, ...codes('47'), 0x82, 0x83, ...Array<number>(12).fill(0x11), ...codes('Q7Z9KB')];
    const { text, dump } = copied(source(textOf(bytes), { locked: LOCKED }), ['Q7Z9KB']);
    assert.deepEqual(dataIn(text).slice(0, 18), bytes.slice(0, 18));
    assert.notDeepEqual(dataIn(text).slice(18, 24), bytes.slice(18, 24));
    assert.deepEqual(problems(dump), []);
    const inLock = copied(source(textOf([0x80, ...codes('Q7Z9'), 0x83]), { locked: LOCKED }), ['Q7Z9']);
    assert.deepEqual([dataIn(inLock.text)[0], dataIn(inLock.text)[5]], [0x80, 0x83]);
    assert.notDeepEqual(dataIn(inLock.text).slice(1, 5), codes('Q7Z9'));
  });

  it('change where they are personal in an option of the security, and no other byte of it or of another one does', () => {
    const KEYS = [
      { id: 'key', title: 'Key', line: 1, bytes: '1-6', number: {}, hazard: 'security' },
      { id: 'other', title: 'Other', line: 2, bytes: '1-6', number: {}, hazard: 'security' },
    ];
    const bytes = [0x80, ...codes('Q7Z9'), 0x83, 1, 2, 3, 4, 5, 6];
    const { text, dump } = copied(source(textOf(bytes), { options: KEYS }), ['Q7Z9']);
    const after = dataIn(text);
    assert.deepEqual([after[0], ...after.slice(5)], [0x80, ...dataIn(textOf(bytes)).slice(5)]);
    assert.notDeepEqual(after.slice(1, 5), codes('Q7Z9'));
    assert.deepEqual(problems(dump), []);
  });

  it('leave wrong sums wrong, so that somebody else can find them', () => {
    const good = textOf([...codes('Q7Z9KB'), ...codes('Q7Z9KB'), 1]);
    const wrong = good.replace(/^1: (.*) \| ..$/m, '1: $1 | 00').replace(/^total: .*$/m, 'total: 00 00');
    const { text, dump } = copied(source(wrong), ['Q7Z9KB']);
    assert.match(text, /^1: .* \| 00$/m);
    assert.match(text, /^total: 00 00$/m);
    assert.deepEqual(problems(dump), problems(source(wrong).dump));
    assert.equal(problems(dump).length, 2);
  });

  const STORED = { name: 'check word', line: 6, byte: 5, method: 'add', bits: 16, over: ['data'] };
  const withStored = (bytes: readonly number[]) => {
    const free = [...bytes, ...Array<number>(36).fill(0x11)].slice(0, 34);
    const sum = sumOf(free);
    return textOf([...free, sum >> 8, sum & 0xff], [], false);
  };

  it('are balanced where a sum in a locked place can be kept right in that way alone, and else there is no copy', () => {
    const locked = [{ line: 6, bytes: '5-6', why: 'written once' }];
    const text = withStored(codes('Q7Z9KB'));
    assert.deepEqual(problems(source(text, { totals: [STORED], locked }).dump), []);
    const balanced = copied(source(text, { totals: [STORED], locked, balance: [{ line: 5, bytes: '1-3' }] }), [
      'Q7Z9KB',
    ]);
    assert.deepEqual(problems(balanced.dump), []);
    assert.deepEqual(dataIn(balanced.text).slice(34), dataIn(text).slice(34));
    assert.match(
      refusal(source(text, { totals: [STORED], locked }), ['Q7Z9KB']),
      /^a\.cfgdump: The check word is stored in a locked place.* Nothing was written\.$/,
    );
  });

  it('of a lock stay locked around a personal one, the next one too', () => {
    const check = { name: 'check byte', line: 1, byte: 5, method: 'add', bits: 8, over: ['data'] };
    const free = [...codes('Q7Z9'), 0, ...Array<number>(31).fill(0x11)];
    const text = textOf([...codes('Q7Z9'), sumOf(free) & 0xff], [], false);
    const own = source(text, { totals: [check], locked: LOCKED });
    assert.deepEqual(problems(own.dump), []);
    assert.match(refusal(own, ['Q7Z9']), /check byte is stored in a locked place/);
  });

  it('are the same under a seal that is kept; where they change it is made anew, or left out if it did not hold', () => {
    const sealed = (text: string, seal = sealOf(source(text).dump)) => source(`@seal ${seal}\n${text}`);
    const kept = copied(sealed(textOf([], ['@owner Jo'])));
    assert.deepEqual([kept.copy.seal, kept.dump.sealHolds], ['kept', true]);
    const anew = copied(sealed(textOf(codes('Q7Z9KB'))), ['Q7Z9KB']);
    assert.deepEqual([anew.copy.seal, anew.dump.sealHolds], ['anew', true]);
    const dropped = copied(sealed(textOf(codes('Q7Z9KB')), `sha256:${'0'.repeat(64)}`), ['Q7Z9KB']);
    assert.deepEqual([dropped.copy.seal, dropped.dump.sealHolds], ['dropped', undefined]);
    assert.match(
      refusal(sealed(textOf([])), ['sha256']),
      /^a\.cfgdump: Row 1 would still be personal in the copy\. Nothing was written\.$/,
    );
  });
});

describe('personal places of a copy for others', () => {
  const number = { number: { coding: 'bcd' } };
  const OPTIONS: readonly (readonly [string, object, readonly number[]])[] = [
    ['a number', { bytes: '1-2', number: {} }, [0x12, 0x34]],
    ['a number in BCD', { bytes: '1-3', ...number }, [0x12, 0x34, 0x56]],
    ['a number with a least value', { bytes: '1-2', number: { min: 500, max: 900 } }, [0x02, 0x58]],
    ['a word of a list', { byte: 1, values: { 17: 'A', 1: 'B' } }, [0x11]],
    ['flags', { byte: 1, flags: { 0: 'A', 4: 'B' } }, [0x11]],
    ['a date', { bytes: '1-3', date: 'DDMMYY', coding: 'bcd' }, [0x24, 0x02, 0x26]],
    ['a count of days', { bytes: '1-2', date: { days: 1, since: '1990-01-01' } }, [0x12, 0x34]],
    ['a short text', { bytes: '1-6', text: 'ascii' }, codes('ab1   ')],
    ['the day that others get', { bytes: '1-3', date: 'DDMMYY', coding: 'bcd' }, [0x01, 0x01, 0x00]],
    ['a text', { bytes: '1-6', text: 'ascii' }, codes('Muelle')],
    ['a text of zeros', { bytes: '1-6', text: 'ascii' }, codes('000000')],
  ];
  for (const [what, option, bytes] of OPTIONS)
    it(`hold another value that the profile knows in place of ${what}`, () => {
      const options = [{ id: 'own', title: 'Own', line: 2, personal: true, ...option }];
      const text = textOf([...Array<number>(6).fill(0x11), ...bytes]);
      const { said, dump, text: after } = copied(source(text, { options }));
      assert.notDeepEqual(dataIn(after).slice(6, 6 + bytes.length), bytes);
      assert.deepEqual(dataIn(after).slice(6 + bytes.length), dataIn(text).slice(6 + bytes.length));
      assert.deepEqual(problems(dump), problems(source(text, { options }).dump));
      assert.equal(said[0], 'Own: something invented is in its place');
    });

  it('hold a day that nobody takes for a real one, and another text where one is too short to be known again', () => {
    const put = (option: object, bytes: readonly number[]) => {
      const options = [{ id: 'own', title: 'Own', line: 1, personal: true, ...option }];
      return dataIn(copied(source(textOf(bytes), { options })).text).slice(0, bytes.length);
    };
    const date = { bytes: '1-3', date: 'DDMMYY', coding: 'bcd' };
    assert.deepEqual(put(date, [0x24, 0x02, 0x26]), [0x01, 0x01, 0x00]);
    assert.deepEqual(put(date, [0x01, 0x01, 0x00]), [0x02, 0x01, 0x00]);
    // From 1990-01-01 to 2000-01-01 it is 3652 days: ten years, of which 1992 and 1996 are leap years.
    assert.deepEqual(put({ bytes: '1-2', date: { days: 1, since: '1990-01-01' } }, [0x12, 0x34]), [
      3652 >> 8,
      3652 & 0xff,
    ]);
    assert.deepEqual(put({ bytes: '1-6', text: 'ascii' }, codes('ab1   ')), codes('xx1   '));
  });

  it('are looked for elsewhere where they say enough: texts and decimal digits of five characters, in whole or in part', () => {
    const elsewhere = (option: object, bytes: readonly number[], comment: string) => {
      const options = [{ id: 'own', title: 'Own', line: 1, personal: true, ...option }];
      // As a word of its own it might be a mirror of the bytes.
      return copied(source(textOf(bytes, [`# a${comment}b`]), { options })).text.includes(`# a${comment}b\n`);
    };
    const text = { bytes: '1-6', text: 'ascii' };
    assert.equal(elsewhere(text, codes('Q7Z9K '), 'Q7Z9K'), false);
    assert.equal(elsewhere(text, codes('Q7Z9  '), 'Q7Z9'), true);
    assert.equal(elsewhere(text, codes('KKKKKK'), 'KKKKKK'), true);
    assert.equal(elsewhere({ bytes: '1-3', ...number }, [0x12, 0x34, 0x56], '123456'), false);
    // The digits of a binary number are not what anybody reads.
    assert.equal(elsewhere({ bytes: '1-3', number: {} }, [0x12, 0x34, 0x56], '123456'), true);
    const region = (bytes: readonly number[], comment: string) => {
      const locked = [{ line: 1, bytes: '1-6', why: 'identity', personal: true }];
      return copied(source(textOf(bytes, [`# a${comment}b`]), { locked })).text.includes(`# a${comment}b\n`);
    };
    for (const end of [0, 0x20, 0xff]) assert.equal(region([...codes('Q7Z9K'), end], 'Q7Z9K'), false);
    assert.equal(region([...codes('Q7Z9K'), 0x7f], 'Q7Z9K'), true, 'bytes that are no text');
  });

  it('of decimal digits stay of decimal digits, however many values there are', () => {
    const options = Array.from({ length: 10 }, (_, i) => ({
      ...{ id: `n${i}`, title: `N${i}`, personal: true, number: {} },
      ...{ line: 1 + Math.floor(i / 6), byte: 1 + (i % 6) },
    }));
    const locked = [{ line: 6, bytes: '1-6', why: 'identity', personal: true }];
    const bytes = [...Array.from({ length: 30 }, (_, i) => 0x80 + i), 0x12, 0x34, 0x56, 0x78, 0x90, 0x12];
    assert.deepEqual(dataIn(copied(source(textOf(bytes), { options, locked })).text).slice(30), [0, 0, 0, 0, 0, 0x11]);
    const hex = [...bytes.slice(0, 35), 0x1a];
    assert.deepEqual(dataIn(copied(source(textOf(hex), { options, locked })).text).slice(30), [0, 0, 0, 0, 0, 11]);
  });

  it('of decimal digits are as many different ones as there were, however many there are', () => {
    const options = Array.from({ length: 24 }, (_, i) => ({
      ...{ id: `n${i}`, title: `N${i}`, personal: true, number: { coding: 'bcd' } },
      ...{ line: 1 + Math.floor(i / 6), byte: 1 + (i % 6) },
    }));
    const bytes = Array.from({ length: 24 }, (_, i) => Number.parseInt(String(70 - i), 16));
    const data = dataIn(copied(source(textOf(bytes), { options })).text).slice(0, 24);
    assert.equal(new Set(data).size, 24);
    for (const [i, byte] of data.entries()) {
      assert.match(digits(byte), /^\d\d$/);
      assert.notEqual(byte, bytes[i]);
    }
  });

  it('in a place that ends in blanks are looked for elsewhere without these', () => {
    const locked = [{ line: 2, bytes: '1-6', why: 'identity', personal: true }];
    const bytes = [...Array<number>(6).fill(0x11), ...codes('SER42 ')];
    const { text } = copied(source(textOf(bytes, ['# SER42: mine']), { locked }));
    assert.doesNotMatch(text, /SER42/);
    assert.match(text, /^# [A-Z]{3}\d\d: mine$/m);
  });

  it('have one invented value for one value, in all copies, and another one for another', () => {
    const options = [1, 2, 3].map((line) => ({
      id: `n${line}`,
      title: `N${line}`,
      line,
      bytes: '1-2',
      number: {},
      personal: true,
    }));
    const bytes = [0x12, 0x34, 0x11, 0x11, 0x11, 0x11, 0x56, 0x78, 0x11, 0x11, 0x11, 0x11, 0x12, 0x34];
    const data = dataIn(copied(source(textOf(bytes), { options })).text);
    const at = (line: number) => data.slice(6 * line, 6 * line + 2);
    assert.deepEqual(at(0), at(2));
    assert.notDeepEqual(at(0), at(1));
  });

  it('are no reason for a copy in which something is wrong that is right in the dump', () => {
    const values = { 16: 'Z', 17: 'A', 18: 'B' };
    const options = [
      { id: 'own', title: 'Own', line: 2, byte: 1, values, personal: true },
      { id: 'other', title: 'Other', line: 1, byte: 1, values, needs: [{ option: 'own', in: [17] }] },
    ];
    assert.match(
      refusal(source(textOf([]), { options })),
      /^a\.cfgdump: In the copy something would be wrong that is right here: /,
    );
    const free = options.map(({ needs: _, ...option }: { needs?: unknown }) => option);
    assert.equal(copied(source(textOf([]), { options: free })).text.includes('1: 11'), true);
  });

  it('are no reason for a copy without one where the profile knows no other value', () => {
    const options = [{ id: 'own', title: 'Own', line: 2, byte: 1, values: { 17: 'A' }, personal: true }];
    assert.match(
      refusal(source(textOf([]), { options })),
      /^a\.cfgdump: Own is personal, and the profile knows no other value/,
    );
  });

  it('that are locked or change by themselves have other bytes of their kind, and stay empty where they are', () => {
    const region = (bytes: readonly number[], key: 'locked' | 'volatile' = 'locked') => {
      const where = { line: 2, bytes: '1-6', why: 'identity', personal: true };
      const text = textOf([...Array<number>(6).fill(0x11), ...bytes]);
      return dataIn(copied(source(text, { [key]: [where] })).text).slice(6, 12);
    };
    for (const key of ['locked', 'volatile'] as const) {
      assert.deepEqual(region([0x20, 0x12, 0x34, 0x56, 0x78, 0x90], key), [0, 0, 0, 0, 0, 1]);
      assert.deepEqual(region([0xa1, 0xb2, 0xc3, 0xd4, 0xe5, 0xf6], key), [0, 0, 0, 0, 0, 1]);
    }
    assert.deepEqual(region([0, 0, 0, 0, 0, 1]), [0, 0, 0, 0, 0, 2]);
    assert.deepEqual(region([0, 0, 0, 0, 0x55, 0x66]), [0, 0, 0, 0, 0, 1]);
    assert.match(String.fromCharCode(...region(codes('Q7 9KB'))), /^[A-Z]\d \d[A-Z]{2}$/);
    const text = String.fromCharCode(...region(codes('Q7Z9KB')));
    assert.match(text, /^[A-Z]\d[A-Z]\d[A-Z]{2}$/);
    assert.notEqual(text, 'Q7Z9KB');
    for (const empty of [0, 0xff, 0x20]) assert.deepEqual(region(Array(6).fill(empty)), Array(6).fill(empty));
    assert.notDeepEqual(region(Array(6).fill(0x41)), Array(6).fill(0x41));
  });
});

describe('the report on copies', () => {
  const result = shareDumps([source(textOf(codes('Q7Z9KB'), ['@owner Jo', '# call +49 30 1234567']))], [], ['Q7Z9KB']);
  assert.ok(result.ok);
  const told = result.value;

  it('names each copy with what was masked and what was left, and the notes', () => {
    const said = sharedInWords(told).map((one) => say(one));
    assert.deepEqual(said.slice(0, 5), [
      'a.cfgdump: masked or left out: 2, looks personal and was left: 11',
      '  Row 1: "@owner" is left out',
      '  Line 1, byte 1: personal value (6 characters, ASCII), masked',
      '  "@use masked" in it says that bytes are invented, so it is no way back for any module',
      '  left: Row 2: "+49 30 1234567" looks like a telephone number',
    ]);
    assert.match(said.at(-1) ?? '', /^No VIN is known/);
    assert.deepEqual(
      (['kept', 'anew', 'dropped'] as const).map((kind) => say(sealInWords(kind))),
      [
        'Its seal is kept: no record changed',
        'Its seal is made anew over the masked records',
        'Its seal did not hold and is left out',
      ],
    );
  });

  const KNOWN = 'Only what is known to be personal is masked. Other bytes may differ from car to car and tell this one';

  it('as a page says the same, and to read what was left before a copy is handed on', () => {
    const page = sharedPage(told, say);
    for (const part of ['No VIN is known', 'is left out', 'masked', 'left: Row 2', 'Read what was left before', KNOWN])
      assert.ok(page.includes(part), part);
    const clean = sharedPage({ ...told, dumps: told.dumps.map((one) => ({ ...one, left: [] })) }, say);
    assert.match(clean, /Nothing else looks personal\. Never write/);
    assert.ok(clean.includes(KNOWN), clean);
    assert.doesNotMatch(clean, /Read what was left/);
  });
});

describe('a copy for others is refused', () => {
  const sound = textOf(codes('Q7Z9KB'));

  it('where the profile cannot be read or has problems, a row cannot be read, or bytes are personal and no profile tells the sums', () => {
    assert.match(
      refusal(source(sound, {}, { profile: { kind: 'unreadable', why: phrase('It is gone.') } })),
      /^a\.cfgdump: It is gone\. Nothing was written\.$/,
    );
    const flaw = { span: { start: 0, end: 1 }, count: 2, first: phrase('It is wrong.') };
    const flawed = source(sound);
    assert.match(
      refusal({ ...flawed, dump: { ...flawed.dump, profile: { ...flawed.dump.profile, flaw } } }),
      /problems/,
    );
    assert.match(
      refusal(source(sound.replace(/^4: 11/m, '4: 1G'))),
      /^a\.cfgdump: Row 4 cannot be read, so nobody can tell/,
    );
    const bare = {
      ...source(sound),
      dump: bindText('a.cfgdump', sound, EMPTY_PROFILE),
      profile: { kind: 'none' } as const,
    };
    assert.match(refusal(bare, ['Q7Z9KB']), /no profile says how its sums are made/);
    assert.equal(copied(bare, ['nothing of it']).text, sound);
  });
});

describe('a copy with invented bytes', () => {
  const LOCKED = { locked: [{ line: 1, bytes: '1-4', why: 'number of the key', personal: true }] };
  const SECRET = [0xc1, 0xd2, 0xe3, 0xf4];

  it('says so in its head, whatever it was for, and is written by nothing', () => {
    for (const headers of [[], ['@use comparison'], ['@use another-module']]) {
      const { dump, text, says } = copied(source(textOf(SECRET, headers), LOCKED));
      assert.equal(text.match(/@use/g)?.length, 1);
      assert.deepEqual(headerValues(dump, 'use'), ['masked']);
      assert.match(says.join('\n'), /no way back for any module/);
      const write = { row: dump.layout.order[1] ?? 0, byte: 0, value: 0x42, reason: 'option' } as const;
      for (const permit of [{}, { elsewhere: true, unconfirmed: true }]) {
        const changed = changeDump(dump, { writes: [write] }, permit);
        assert.match(changed.ok ? '' : say(changed.why), /copy for others with invented bytes/);
      }
    }
  });

  it('is no backup of a dump that has none of its names, and one for a copy that was masked with it', () => {
    const named = textOf(SECRET, ['@part X', '@backup b.cfgdump']);
    const sealed = (text: string) => `@seal ${sealOf(source(text, LOCKED).dump)}\n${text}`;
    const backup = copied(source(sealed(textOf(SECRET, ['@part X'])), LOCKED)).dump;
    assert.match(say(unfitBackup(source(named, LOCKED).dump, backup)?.message ?? phrase('')), /copy for others/);
    assert.equal(unfitBackup(copied(source(named, LOCKED)).dump, backup), undefined);
  });

  it('stays as it is where nothing of it is invented', () => {
    const { text } = copied(source(textOf([1, 2, 3, 4], ['@part X'])));
    assert.equal(text, textOf([1, 2, 3, 4], ['@part X']));
  });

  it('keeps its mark beside rows that have no place for it', () => {
    const image = { addresses: { from: 0, to: 3 }, locked: [{ address: 0, length: 2, why: 'key', personal: true }] };
    const row = '00000000  c1 d2 11 22                                       |.."|'.replace('.."', '..."');
    const dump = bindText('a.txt', `${row}\n`, profileOf({ format: 1, ...image }));
    const { copy } = copied({ ...source(''), file: 'file:///cars/a.txt', name: 'a.txt', dump });
    assert.match(copy.text, /^00000000 {2}.. .. 11 22 .*\n$/);
    assert.equal(copy.headers, '@use masked\n');
  });

  it('tells what was wrong and is not wrong any more', () => {
    const copies = {
      copies: [
        {
          name: 'key',
          place: { line: 1, bytes: '1-4' },
          at: [
            { line: 3, bytes: '1-4' },
            { line: 5, bytes: '1-4' },
          ],
          agree: 'majority',
          as: 'same',
        },
      ],
      options: [{ id: 'key', title: 'Key', line: 1, bytes: '1-4', text: 'ascii', personal: true }],
    };
    const key = codes('QZRT');
    const other = codes('QZRW');
    const bytes = [...key, 0, 0, ...Array(6).fill(1), ...key, 0, 0, ...Array(6).fill(1), ...other, 0, 0];
    const from = source(textOf(bytes), copies);
    assert.deepEqual(from.dump.profile.flaw, undefined);
    const wrong = checkDump({
      dump: from.dump,
      profile: { kind: 'read' },
      backup: { kind: 'none' },
      modules: () => [],
    });
    assert.ok(wrong.some(({ code }) => code === 'copy-differs'));
    assert.match(copied(from).says.join('\n'), /not wrong in the copy: Byte 4 of line 5 holds 57/);
  });

  it('tells nothing of an option that has few values: all copies get the same, whatever was there', () => {
    const at = { id: 'own', title: 'Own', line: 1, byte: 1, personal: true };
    const kinds = [
      [{ bits: '1-0', flags: { 0: 'a', 1: 'b' } }, [0, 1, 2, 3]],
      [{ values: { 0: 'no', 1: 'yes' } }, [0, 1]],
      [{ number: { min: 200, max: 201 } }, [200, 201]],
    ] as const;
    for (const [kind, values] of kinds) {
      const copies = values.map((value) => copied(source(textOf([value]), { options: [{ ...at, ...kind }] })).text);
      assert.deepEqual(new Set(copies.map((text) => dataIn(text).join())).size, 1, JSON.stringify(kind));
    }
  });

  it('has no name with an accent in it, however it is written', () => {
    for (const written of ['José Doe', 'JOSÉ DOE', 'Jose\u0301 Doe', 'JOSE\u0301 DOE'])
      for (const hidden of ['José Doe', 'Jose\u0301 Doe'])
        assert.doesNotMatch(copied(source(textOf([], [`# by ${written}`])), [hidden]).text, /jos|doe/i, written);
  });

  it('has no serial number in its remarks that is stored as a number', () => {
    const options = [{ id: 'sn', title: 'Serial number', line: 1, bytes: '1-4', number: {} }];
    const bytes = [0x12, 0x34, 0x56, 0x78];
    const { text } = copied(source(textOf(bytes, ['# unit 305419896']), { options }));
    assert.doesNotMatch(text, /305419896/);
  });

  it('is made of a VIN with a right check digit, whatever becomes of the parts of it', () => {
    const options = [{ id: 'part', title: 'VIN, part 1', line: 1, bytes: '1-6', text: 'ascii' }];
    const { text } = copied(
      source(textOf(codes(VIN.slice(0, 6)), [`@vin ${VIN}`, `@vehicle ${VIN.slice(-4)}`]), { options }),
    );
    assert.doesNotMatch(text, new RegExp(`${VIN}|${VIN.slice(-4)}`));
  });
});
