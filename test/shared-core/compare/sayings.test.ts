// What a person reads of two or more dumps: how much of it is told, where it is, and that nothing is called the same too early.
import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { done, hexBytes, phrase, refuse, say } from '../../../shared-core/src/base/index.js';
import { comparisonInShort } from '../../../shared-core/src/compare/comparisonInWords.js';
import { areFewest } from '../../../shared-core/src/compare/fewestBytes.js';
import { compareDumps, comparisonInWords } from '../../../shared-core/src/compare/index.js';
import { inSpacingOf } from '../../../shared-core/src/compare/inSpacingOf.js';
import { compareChosen } from '../../../shared-core/src/compare/manyInWords.js';
import { whyOneProfile, whyProfilesDiffer } from '../../../shared-core/src/compare/profileDoubts.js';
import { threeWays } from '../../../shared-core/src/compare/threeWays.js';
import { intelHex } from '../../../shared-core/src/format/intelHex.js';
import { sRecord } from '../../../shared-core/src/format/sRecord.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { printRecord } from '../../../shared-core/src/model/lineSum.js';
import { EMPTY_PROFILE, type Profile } from '../../../shared-core/src/profile/index.js';
import { END, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

/** Records of Intel HEX, each by its address and bytes. */
const imageOf = (
  records: readonly (readonly [address: number, ...bytes: number[]])[],
  more: readonly string[] = [],
  profile: Profile = EMPTY_PROFILE,
) =>
  bindText(
    'a.hex',
    [
      ...records.map(([address, ...bytes]) => printRecord(intelHex, address, 0, Uint8Array.from(bytes))),
      ...more,
      END,
      '',
    ].join('\n'),
    profile,
  );
const startAt = (address: number) => printRecord(intelHex, 0, 5, Uint8Array.of(0, 0, address >> 8, address & 0xff));
const inWords = (was: Dump, now: Dump) => comparisonInWords(compareDumps(was, now)).map((one) => say(one));
const bytes = (count: number, value: (i: number) => number = () => 0) =>
  Array.from({ length: count }, (_, i) => value(i));

describe('how images differ, in words', () => {
  it('is each byte up to eight that follow each other, and one stretch from nine on', () => {
    const said = (count: number) =>
      inWords(imageOf([[0x10, ...bytes(12)]]), imageOf([[0x10, ...bytes(12, (i) => (i < count ? 1 : 0))]])).filter(
        (one) => one.startsWith('Address'),
      );
    assert.equal(said(8).length, 8);
    assert.equal(said(8)[7], 'Address 0017: 00 → 01 (unexplained)');
    assert.deepEqual(said(9), ['Address 0010–0018: all 9 bytes differ (unexplained)']);
  });

  it('begins a stretch anew at a byte that is alike, and at one that differs for another reason', () => {
    const profile = profileOf({
      addresses: { from: 0x10, to: 0x2f },
      options: [{ id: 'a', title: 'A', address: '0x1A', number: {} }],
    });
    const was = imageOf([[0x10, ...bytes(32)]], [], profile);
    const apart = imageOf([[0x10, ...bytes(32, (i) => (i < 9 || i > 9 ? 1 : 0))]], [], profile);
    assert.deepEqual(
      inWords(was, apart).filter((one) => one.startsWith('Address')),
      [
        'Address 0010–0018: all 9 bytes differ (unexplained)',
        'Address 001A: 00 → 01 (option)',
        'Address 001B–002F: all 21 bytes differ (unexplained)',
      ],
    );
  });

  it('names sums of records one by one up to eight, then how many', () => {
    const records = (count: number, value: number) =>
      imageOf(bytes(count, (i) => i).map((i) => [0x10 * i, value] as const));
    const said = (count: number) =>
      inWords(records(count, 0), records(count, 1)).filter((one) => /^Record at|records have/.test(one));
    assert.deepEqual(said(1), ['Record at 0000: FF → FE (line sum)']);
    assert.equal(said(8).length, 8);
    assert.deepEqual(said(9), ['9 records have other sums (line sum)']);
  });

  it('says where the program starts, and that it does not say so', () => {
    const of = (...starts: number[]) => imageOf([[0, 1]], starts.map(startAt));
    assert.deepEqual(inWords(of(2), of(0x1234)).slice(0, 1), ['Start address: 0002 → 1234']);
    assert.deepEqual(inWords(of(), of(2)).slice(0, 1), ['Start address: – → 0002']);
  });

  it('ends in a verdict that knows of rows that were not read: three of the same are not two', () => {
    const profile = profileOf({ notation: { pattern: '{label:hex}= {data}' }, addresses: { from: 0, to: 3 } });
    const of = (...rows: string[]) => bindText('a.txt', ['0= 01 02 03 04', ...rows, ''].join('\n'), profile);
    for (const [was, now] of [
      [3, 2],
      [2, 3],
      [4, 2],
    ] as const) {
      const [one, other] = [was, now].map((count) => of(...bytes(count).map(() => 'crc DEADBEEF')));
      assert.ok(one && other);
      assert.equal(compareDumps(one, other).identical, false, `${was} ${now}`);
      assert.ok(inWords(one, other).includes('These cannot be called the same, as not everything was read.'));
    }
    assert.match(
      inWords(of('# a', 'crc DEADBEEF', 'crc DEADBEEF'), of('crc DEADBEEF')).join('\n'),
      /before: row 4 holds hex digits and is not read, and the other has no such row \(1 in all\)\.$/m,
    );
    assert.equal(compareDumps(of('crc DEADBEEF', 'crc DEADBEEF'), of('crc DEADBEEF', 'crc DEADBEEF')).identical, true);
  });
});

describe('what of images is not compared', () => {
  const was = imageOf([[0x10, 1, 2, 3, 4]]);

  it('is an address that one of them holds twice: no byte of it counts as changed', () => {
    const twice = imageOf([
      [0x10, 1, 2, 3, 4],
      [0x12, 9],
    ]);
    for (const both of [
      [was, twice],
      [twice, was],
    ] as const) {
      const comparison = compareDumps(...both);
      assert.deepEqual(comparison.uncompared, ['0012']);
      assert.deepEqual(
        comparison.lines.flatMap(({ bytes: all }) => all.map(({ address }) => address)),
        [],
      );
      assert.equal(comparison.identical, false);
    }
  });

  it('is nothing beside that: a byte elsewhere that differs is told', () => {
    const twice = imageOf([
      [0x10, 1, 2, 3, 9],
      [0x12, 7],
    ]);
    const { lines: differing, uncompared } = compareDumps(was, twice);
    assert.deepEqual(uncompared, ['0012']);
    assert.deepEqual(
      differing.flatMap(({ bytes: all }) => all.flatMap(({ address }) => address ?? [])),
      [0x13],
    );
  });

  it('is a record of which not even the address can be read, which is said', () => {
    const torn = bindText('a.hex', `${was.rows[0]?.text ?? ''}:zz\n${END}\n`, EMPTY_PROFILE);
    assert.ok(
      inWords(was, torn).includes(
        '1 records cannot be read at all: what they hold was not compared. Correct them first.',
      ),
    );
  });

  it('are the sums of records that are not cut alike: only of those that are it is said that they differ', () => {
    const sums = (now: Dump) => inWords(was, now).filter((one) => one.startsWith('Record'));
    assert.equal(sums(imageOf([[0x10, 1, 2, 3, 5]])).length, 1);
    assert.deepEqual(
      sums(
        imageOf([
          [0x10, 1, 2, 3],
          [0x13, 5],
        ]),
      ),
      [],
    );
    assert.deepEqual(sums(imageOf([[0x0f, 9, 1, 2, 3, 5]])), []);
    assert.deepEqual(
      sums(
        imageOf([
          [0x10, 1, 2],
          [0x12, 3, 5],
        ]),
      ),
      [],
    );
    assert.deepEqual(sums(imageOf([[0x10, 1, 2, 3, 5, 6]])), []);
    const other = bindText(
      'a.s19',
      [printRecord(sRecord, 0x10, 1, Uint8Array.of(1, 2, 3, 5)), printRecord(sRecord, 0, 9, new Uint8Array()), ''].join(
        '\n',
      ),
      EMPTY_PROFILE,
    );
    assert.deepEqual(sums(other), []);
  });
});

describe('a comparison in short', () => {
  it('says how many bytes differ in place of each of them', () => {
    const plain = profileOf({ lines: { from: 1, to: 2, data: 3, sum: 0 } });
    const [before, after] = ['00 00 00', '01 00 02'].map((row) => lines(plain, `1: ${row}\n2: 00 00 00\n`)) as [
      Dump,
      Dump,
    ];
    assert.deepEqual(
      comparisonInShort(compareDumps(before, after)).map((one) => say(one)),
      ['Changed bytes that nothing explains: 2. Look at them before you write this dump.', 'Changed bytes: 2'],
    );
    assert.deepEqual(
      comparisonInShort(compareDumps(before, before)).map((one) => say(one)),
      inWords(before, before),
    );
  });
});

describe('lines that both dumps lack', () => {
  it('are named for each of them, though neither has a line that the other has not', () => {
    const plain = profileOf({ lines: { from: 1, to: 2, data: 3, sum: 0 } });
    const half = lines(plain, '1: 00 00 00\n');
    assert.deepEqual(inWords(half, half), [
      'Not read whole, before: line 2 is missing (1 in all).',
      'Not read whole, now: line 2 is missing (1 in all).',
      'These cannot be called the same, as not everything was read.',
    ]);
    // Where it is told by its line anyway, it is said once.
    assert.deepEqual(
      inWords(lines(plain, '1: 00 00 00\n2: 00 00 00\n'), half).filter((one) => one.includes('2')),
      ['Line 2 is missing now.'],
    );
  });
});

describe('what ends a comparison', () => {
  const plain = profileOf({ lines: { from: 1, to: 2, data: 3, sum: 0 } });
  const of = (row: string) => lines(plain, `1: ${row}\n2: 00 00 00\n`);

  it('is how many bytes nothing explains, if it is but one', () => {
    const last = (row: string) => inWords(of('00 00 00'), of(row)).at(-1);
    assert.equal(last('00 00 00'), 'Both hold the same bytes.');
    assert.equal(last('01 00 00'), 'Changed bytes that nothing explains: 1. Look at them before you write this dump.');
    assert.equal(last('01 00 02'), 'Changed bytes that nothing explains: 2. Look at them before you write this dump.');
  });

  it('is that the one names a profile which the other does not, unless it names one that could not be read', () => {
    const named = (text: string, profile: Profile) => lines(profile, `${text}${LINES_TEXT}`);
    const why = (was: Dump, now: Dump) => {
      const found = whyOneProfile(was, now);
      return found && say(found);
    };
    const whole = named('@profile a\n', profileOf(LINES));
    for (const both of [
      [whole, named('', EMPTY_PROFILE)],
      [named('', EMPTY_PROFILE), whole],
    ] as const)
      assert.equal(why(...both), 'One names the profile "a", the other names none.');
    assert.equal(why(whole, named('@profile b\n', EMPTY_PROFILE)), undefined);
    assert.equal(why(named('', EMPTY_PROFILE), named('', EMPTY_PROFILE)), undefined);
    assert.equal(why(whole, whole), undefined);
  });
});

describe('one dump beside another in the spelling of that', () => {
  it('has lines of lines as the other writes them, and its own where they are no lines of as many bytes', () => {
    const plain = profileOf({ lines: { from: 1, to: 4, data: 2, sum: 0 } });
    const spelling = lines(plain, '1:  0a0b # mine\r\n2: 01 02 03\n3: 01\n4: 0 1\n');
    const own = lines(plain, '1: 0A FF\n2: 01 02\n3: 0 1\n4: 05 06\n');
    assert.equal(inSpacingOf(spelling, own), '1:  0aff # mine\n2: 01 02\n3: 0 1\n4: 05 06\n');
  });

  it('has records of images as the other cuts and spells them, with their sums', () => {
    const spelling = bindText(
      'a.hex',
      ':04001000aabbccdddE\n:02002000000 1\n'.replace('0 1', '1DD').replace('dE', 'de'),
      EMPTY_PROFILE,
    );
    const [first = ''] = inSpacingOf(
      spelling,
      imageOf([
        [0x10, 0xaa, 0xbb],
        [0x12, 0xcc, 0x0d],
      ]),
    ).split('\n');
    assert.equal(first.toUpperCase(), printRecord(intelHex, 0x10, 0, Uint8Array.of(0xaa, 0xbb, 0xcc, 0x0d)));
    assert.ok(first.includes('aabbcc'));
  });

  it('leaves a record as it is that has the same bytes, with a sum that is wrong too', () => {
    const right = printRecord(intelHex, 0x10, 0, Uint8Array.of(1, 2));
    const wrong = `${right.slice(0, -2)}00`;
    const spelling = bindText('a.hex', `${wrong}\n${END}\n`, EMPTY_PROFILE);
    assert.equal(inSpacingOf(spelling, imageOf([[0x10, 1, 2]])), `${wrong}\n${END}\n`);
  });

  it('shows two hyphens for a byte that it lacks, nothing for a record of which it lacks all, and sets in what only it has', () => {
    const spelling = imageOf([
      [0x10, 1, 2, 3, 4],
      [0x20, 5, 6],
      [0x80, 9],
    ]);
    const own = imageOf([
      [0x11, 0xab, 3, 4],
      [0x30, ...bytes(17, (i) => i)],
      [0x80, 9],
      [0x90, 7],
    ]);
    const first = printRecord(intelHex, 0x10, 0, Uint8Array.of(1, 2, 3, 4));
    assert.deepEqual(inSpacingOf(spelling, own).split('\n'), [
      `${first.slice(0, 9)}--AB0304${first.slice(-2)}`,
      printRecord(intelHex, 0x30, 0, Uint8Array.from(bytes(16, (i) => i))),
      printRecord(intelHex, 0x40, 0, Uint8Array.of(16)),
      printRecord(intelHex, 0x80, 0, Uint8Array.of(9)),
      printRecord(intelHex, 0x90, 0, Uint8Array.of(7)),
      END,
      '',
    ]);
  });
});

describe('what was found, planned and read back', () => {
  it('is told in the order of the lines and their bytes, whichever of the two changes is behind it', () => {
    const plain = profileOf({ lines: { from: 1, to: 3, data: 2, sum: 0 } });
    const of = (...rows: string[]) => lines(plain, rows.map((row, i) => `${i + 1}: ${row}\n`).join(''));
    const { bytes: told } = threeWays(
      of('00 00', '00 00', '00 00'),
      of('00 00', '00 01', '01 00'),
      of('00 02', '02 01', '01 00'),
    );
    assert.deepEqual(
      told.map(({ label, byte, outcome }) => `${label}/${byte} ${outcome}`),
      ['1/2 other', '2/1 other', '2/2 written', '3/1 written'],
    );
  });

  it('knows the sums of records at any address, and which of them are not cut alike', () => {
    const [found, planned] = [imageOf([[0x1a, 0, 0]]), imageOf([[0x1a, 0, 1]])];
    const outcomes = (read: Dump) =>
      threeWays(found, planned, read).bytes.map(({ byte, outcome }) => `${byte} ${outcome}`);
    assert.deepEqual(outcomes(planned), ['2 written', '3 written']);
    assert.deepEqual(outcomes(found), ['2 kept', '3 kept']);
    assert.deepEqual(
      outcomes(
        imageOf([
          [0x1a, 0],
          [0x1b, 1],
        ]),
      ),
      ['2 written', '3 not-read'],
    );
  });
});

describe('an option of an image in three ways', () => {
  const profile = profileOf({
    addresses: { from: 0x10, to: 0x1b },
    options: [{ id: 'a', title: 'A', address: '0x14', bytes: 2, number: {} }],
  });
  const of = (...records: (readonly [number, ...number[]])[]) => imageOf(records, [], profile);
  const [found, planned] = [of([0x10, ...bytes(12)]), of([0x10, 0, 0, 0, 0, 0, 5, 0, 0, 0, 0, 0, 0])];

  it('is not read where any of its bytes is in a gap, and is where the gap is beside it', () => {
    const outcome = (...records: (readonly [number, ...number[]])[]) =>
      threeWays(found, planned, of(...records)).options.map((one) => one.outcome);
    assert.deepEqual(outcome([0x10, 0, 0, 0, 0, 0, 5], [0x17, 0]), ['written']);
    assert.deepEqual(outcome([0x14, 0, 5, 0]), ['written']);
    assert.deepEqual(outcome([0x10, 0, 0, 0, 0, 0], [0x16, 0]), ['not-read']);
    assert.deepEqual(outcome([0x10, 0, 0, 0, 0], [0x15, 5, 0]), ['not-read']);
  });
});

describe('dumps that were chosen to be compared', () => {
  const named = (name: string, dump: Dump) => ({ name, read: done(dump) });
  const plain = (text = '1: 01 02\n') => bindText('a.cfgdump', text, EMPTY_PROFILE);
  const says = (...chosen: Parameters<typeof compareChosen>[0]) =>
    compareChosen(chosen).table.says.map((one) => say(one));

  it('are the same without a profile only as far as anybody can tell, which is said once', () => {
    assert.deepEqual(says(named('a', plain()), named('b', plain()), named('c', plain())), [
      'All 3 are the same, byte for byte.',
      'No profile explains them, so nobody can tell that nothing is missing from all of them.',
    ]);
  });

  it('are not the same where one that was chosen could not be read', () => {
    const broken = { name: 'c', read: refuse(phrase('no')) };
    assert.deepEqual(says(named('a', plain()), named('b', plain()), broken), [
      'No difference was found, but not everything could be compared. So nothing is known to be the same.',
    ]);
  });
});

describe('profiles that two dumps name', () => {
  it('differ only where both could be read: of one that could not, something else is said', () => {
    const [one, other] = [profileOf(LINES), profileOf({ ...LINES, title: 'other', balance: [] })];
    const of = (name: string, profile: Profile) => lines(profile, `@profile ${name}\n${LINES_TEXT}`);
    const why = (was: Dump, now: Dump) => {
      const found = whyProfilesDiffer(was, now);
      return found && say(found);
    };
    assert.equal(
      why(of('a', one), of('b', other)),
      'They name two profiles, "a" and "b", so they are of two modules or of two versions of one. Nothing is proved.',
    );
    assert.equal(why(of('a', one), of('b', EMPTY_PROFILE)), undefined);
    assert.equal(why(of('a', EMPTY_PROFILE), of('b', other)), undefined);
    assert.equal(why(of('a', one), of('a', other)), undefined);
    assert.equal(why(of('a', one), lines(other, LINES_TEXT)), undefined);
  });
});

describe('bytes that took up a difference', () => {
  const SUMS = {
    add: { spec: { method: 'add', bits: 8 }, of: (run: readonly number[]) => run.reduce((a, b) => (a + b) & 0xff, 0) },
    xor: { spec: { method: 'xor', bits: 8 }, of: (run: readonly number[]) => run.reduce((a, b) => a ^ b, 0) },
    wide: { spec: { method: 'add', bits: 16 }, of: (run: readonly number[]) => run.reduce((a, b) => a + b, 0) },
  } as const;
  type SumName = keyof typeof SUMS;
  const any = fc.constantFrom<SumName>('add', 'xor', 'wide');

  it('are the fewest where no fewer of them would have done, whatever values these had been given', () => {
    fc.assert(
      fc.property(
        fc.array(fc.nat(255), { minLength: 4, maxLength: 4 }),
        fc.array(fc.nat(255), { minLength: 2, maxLength: 2 }),
        fc.uniqueArray(any, { minLength: 1, maxLength: 2 }),
        fc.integer({ min: 1, max: 2 }),
        fc.nat(3),
        (was, now, kept, count, at) => {
          const places = [at, (at + 1) % 4].slice(0, count);
          const changed = places.flatMap((byte, i) =>
            was[byte] === now[i] ? [] : [{ row: 0, byte, was: was[byte] as number, now: now[i] as number }],
          );
          const after = was.map((value, byte) => changed.find((one) => one.byte === byte)?.now ?? value);
          const profile = profileOf({
            lines: { from: 1, to: 1, data: 4, sum: 0 },
            totals: kept.map((name) => ({ name, label: name, over: ['data'], keep: true, ...SUMS[name].spec })),
          });
          const rows = kept.map((name) => {
            const value = SUMS[name].of(after);
            return `${name}: ${hexBytes(name === 'wide' ? [value >> 8, value & 0xff] : [value])}`;
          });
          const dump = lines(profile, [`1: ${hexBytes(after)}`, ...rows, ''].join('\n'));
          const wanted = kept.map((name) => SUMS[name].of(after)).join();
          const canDoWithout = changed.some((left) => {
            const [other] = changed.filter((one) => one !== left);
            const tries =
              other === undefined
                ? [after]
                : bytes(256, (value) => value).map((value) =>
                    after.map((now, byte) => (byte === other.byte ? value : now)),
                  );
            return tries.some(
              (one) =>
                kept
                  .map((name) => SUMS[name].of(one.map((value, byte) => (byte === left.byte ? left.was : value))))
                  .join() === wanted,
            );
          });
          assert.equal(areFewest(dump.totals, changed), !canDoWithout);
        },
      ),
      { numRuns: 60 },
    );
  });
});
