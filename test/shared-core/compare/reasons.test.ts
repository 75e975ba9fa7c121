import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { compareDumps, comparisonInWords, isExplained } from '../../../shared-core/src/compare/index.js';
import { isAccountedFor } from '../../../shared-core/src/compare/reasons.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import type { Profile } from '../../../shared-core/src/profile/index.js';
import { profileOf } from '../../support/smallDumps.js';

const LINES_OF = { from: 1, to: 4, data: 4, sum: 0 };
const dump = (profile: Profile, ...rows: readonly string[]) => bindText('a.cfgdump', `${rows.join('\n')}\n`, profile);
/** Why each byte differs: its line or address, its place, the reason, and whether it changes by itself. */
const reasons = (before: Dump, after: Dump) =>
  compareDumps(before, after).lines.flatMap(({ label, bytes }) =>
    bytes.map(({ byte, reason, volatile }) => `${label}.${byte} ${reason}${volatile ? ' volatile' : ''}`),
  );

describe('why a byte differs', () => {
  const FOG = { id: 'fog', title: 'Fog', line: 1, byte: 1, bits: '3-0', values: { 0: 'no', 1: 'yes' } };
  const TOW = { id: 'tow', title: 'Tow', line: 1, byte: 1, bits: '5-4', values: { 0: 'no', 1: 'yes' } };
  const FAN = { id: 'fan', title: 'Fan', line: 1, byte: 2, values: { 0: 'no', 1: 'yes' } };
  const KEY = { id: 'key', title: 'Key', line: 1, byte: 3, bits: '7-4', values: { 0: 'no' }, hazard: 'security' };
  const base = ['1: 00 00 00 00', '2: 00 00 00 00', '3: 00 00 00 00', '4: 00 00 00 00'];
  const changed = (parts: object, ...rows: readonly string[]) => {
    const profile = profileOf({ lines: LINES_OF, ...parts });
    const now = base.map((row) => rows.find((other) => other.startsWith(row.slice(0, 2))) ?? row);
    return reasons(dump(profile, ...base), dump(profile, ...now));
  };

  it('is an option where the bits that differ are its own, or those of several options in the byte', () => {
    const options = [FOG, TOW, FAN];
    assert.deepEqual(changed({ options }, '1: 01 00 00 00'), ['1.1 option']);
    assert.deepEqual(changed({ options }, '1: 11 00 00 00'), ['1.1 option']);
    assert.deepEqual(changed({ options: [FOG] }, '1: 11 00 00 00'), ['1.1 unexplained']);
    assert.deepEqual(changed({ options }, '1: 81 00 00 00'), ['1.1 unexplained']);
    assert.deepEqual(changed({ options }, '1: 00 FF 00 00'), ['1.2 option']);
    assert.deepEqual(changed({}, '1: 01 00 00 00'), ['1.1 unexplained']);
  });

  it('is security where a bit of a security option differs, though the byte is locked, changes by itself or balances', () => {
    const options = [KEY];
    assert.deepEqual(changed({ options }, '1: 00 00 10 00'), ['1.3 security']);
    assert.deepEqual(changed({ options }, '1: 00 00 01 00'), ['1.3 unexplained']);
    assert.deepEqual(changed({ options, locked: [{ line: 1, byte: 3 }] }, '1: 00 00 10 00'), ['1.3 security']);
    assert.deepEqual(changed({ options, locked: [{ line: 1, byte: 3 }] }, '1: 00 00 01 00'), ['1.3 locked']);
    const profile = profileOf({ lines: LINES_OF, options, balance: [{ line: 1, byte: 4 }] });
    const [balance] = profile.balance;
    assert.ok(balance);
    const place = { kind: 'line', line: 1, byte: 3, count: 1 } as const;
    const listed = {
      ...profile,
      balance: [{ ...balance, place }],
      volatile: [{ place, why: undefined, source: balance.source }],
    };
    assert.deepEqual(reasons(dump(listed, ...base), dump(listed, '1: 00 00 10 00', ...base.slice(1))), [
      '1.3 security',
    ]);
  });

  it('is that it is locked, whatever else the byte is', () => {
    const profile = profileOf({
      lines: LINES_OF,
      options: [FAN],
      totals: [{ name: 'sum', method: 'add', bits: 8, over: ['data'], lines: '2-3', line: 4, byte: 1 }],
      balance: [{ line: 2, byte: 1 }],
      volatile: [{ line: 3, byte: 1 }],
    });
    const source = { start: 0, end: 0 };
    const locked = (line: number, byte: number) => ({
      place: { kind: 'line', line, byte, count: 1 } as const,
      why: undefined,
      source,
    });
    const all = { ...profile, locked: [locked(1, 2), locked(4, 1), locked(2, 1), locked(3, 1)] };
    const now = ['1: 00 01 00 00', '2: 01 00 00 00', '3: 01 00 00 00', '4: 02 00 00 00'];
    assert.deepEqual(reasons(dump(all, ...base), dump(all, ...now)), [
      '1.2 locked',
      '2.1 locked',
      '3.1 locked',
      '4.1 locked',
    ]);
    assert.deepEqual(reasons(dump(profile, ...base), dump(profile, ...now)), [
      '1.2 option',
      '2.1 balance',
      '3.1 volatile volatile',
      '4.1 total',
    ]);
  });

  it('is that it changes by itself, which is told and is never all that is said', () => {
    const volatile = [{ line: 3, byte: 1 }];
    const profile = profileOf({ lines: LINES_OF, options: [FAN], volatile });
    const words = (...rows: readonly string[]) => {
      const now = base.map((row) => rows.find((other) => other.startsWith(row.slice(0, 2))) ?? row);
      const comparison = compareDumps(dump(profile, ...base), dump(profile, ...now));
      return [isExplained(comparison), comparisonInWords(comparison).map((said) => say(said))];
    };
    const told =
      'Changed bytes that the module changes by itself: 1. Whether it did or a person, two dumps do not show.';
    assert.deepEqual(words('1: 00 01 00 00', '3: 01 00 00 00'), [
      true,
      [
        'Fan: no → yes',
        'Line 1, byte 2: 00 → 01 (option)',
        'Line 3, byte 1: 00 → 01 (changes by itself)',
        told,
        'Nothing else differs: every other changed byte is an option or a sum.',
      ],
    ]);
    assert.deepEqual(words('3: 01 01 00 00'), [
      false,
      [
        'Line 3, byte 1: 00 → 01 (changes by itself)',
        'Line 3, byte 2: 00 → 01 (unexplained)',
        told,
        'Changed bytes that nothing explains: 1. Look at them before you write this dump.',
      ],
    ]);
    const copied = { volatile, copies: [{ name: 'set', lines: '3', at: ['4'] }] };
    assert.deepEqual(changed(copied, '3: 01 00 00 00', '4: 01 00 00 00'), ['3.1 volatile volatile', '4.1 unexplained']);
  });

  it('is a sum of the line behind its data alone, and of lines that have one', () => {
    const summed = { lines: { ...LINES_OF, data: 3, sum: 1 }, lineSum: { method: 'add', over: ['data'] } };
    assert.deepEqual(changed(summed, '1: 01 00 00 01'), ['1.1 unexplained', '1.4 line-sum']);
    assert.deepEqual(changed({}, '1: 00 00 00 01'), ['1.4 unexplained']);
    const profile = profileOf({
      ...summed,
      totals: [{ name: 'sum', method: 'add', over: ['data'], lines: '1-1', label: 'total' }],
    });
    const found = reasons(dump(profile, ...base, 'x: 01', 'total: 00'), dump(profile, ...base, 'x: 02', 'total: 01'));
    assert.deepEqual(found, ['x.1 unexplained', 'total.1 total'], 'a line that the profile does not know has no sum');
    const short = profileOf({ lines: { from: 1, to: 1, data: 1, sum: 1 }, lineSum: { method: 'add', over: ['data'] } });
    assert.deepEqual(reasons(dump(short, '1: 00 00'), dump(short, '1: 01 01')), ['1.1 unexplained', '1.2 line-sum']);
  });

  it('is unexplained for bytes behind the end that the profile gives a line, with a sum or without', () => {
    const summed = profileOf({ lines: { ...LINES_OF, data: 3, sum: 1 } });
    const long = (row: string) => dump(summed, row, ...base.slice(1));
    assert.deepEqual(reasons(long('1: 00 00 00 00 00'), long('1: 00 00 00 01 01')), [
      '1.4 line-sum',
      '1.5 unexplained',
    ]);
    const bare = profileOf({ lines: LINES_OF });
    const more = (row: string) => dump(bare, row, ...base.slice(1));
    assert.deepEqual(reasons(more('1: 00 00 00 00 00'), more('1: 00 00 00 00 01')), ['1.5 unexplained']);
  });

  it('is unexplained for a byte that only one side has, though an option or what changes by itself would be there', () => {
    const profile = profileOf({
      options: [{ ...FAN, byte: 4 }],
      volatile: [{ line: 2, byte: 4 }],
      balance: [{ line: 3, byte: 4 }],
    });
    const short = ['1: 00 00 00', '2: 00 00 00', '3: 00 00 00'];
    const found = ['1.4 unexplained', '2.4 unexplained', '3.4 unexplained'];
    assert.deepEqual(reasons(dump(profile, ...short), dump(profile, ...base.slice(0, 3))), found);
    assert.deepEqual(reasons(dump(profile, ...base.slice(0, 3)), dump(profile, ...short)), found);
    const known = profileOf({ lines: LINES_OF, options: [{ ...FAN, byte: 4 }], volatile: [{ line: 2, byte: 4 }] });
    const rest = base.slice(3);
    for (const [one, other] of [
      [short, base.slice(0, 3)],
      [base.slice(0, 3), short],
    ] as const)
      assert.deepEqual(
        compareDumps(dump(known, ...one, ...rest), dump(known, ...other, ...rest)).lines.flatMap(({ bytes }) =>
          bytes.map(({ reason, volatile }) => [reason, volatile]),
        ),
        Array(3).fill(['unexplained', false]),
      );
  });

  it('is security for a byte with a security option that only one side has, whatever value it has', () => {
    const profile = profileOf({ lines: LINES_OF, options: [{ ...KEY, byte: 4 }] });
    for (const value of ['00', '0F', '10']) {
      const [short, whole] = ['1: 00 00 00', `1: 00 00 00 ${value}`].map((row) =>
        dump(profile, row, ...base.slice(1)),
      ) as [Dump, Dump];
      assert.deepEqual(reasons(short, whole), ['1.4 security']);
      assert.deepEqual(reasons(whole, short), ['1.4 security']);
    }
  });

  it('counts as it should be for all reasons but those to look at', () => {
    for (const reason of ['option', 'line-sum', 'balance', 'chosen-balance', 'total'] as const)
      assert.equal(isAccountedFor(reason), true, reason);
    for (const reason of ['unexplained', 'locked', 'security'] as const)
      assert.equal(isAccountedFor(reason), false, reason);
  });
});

describe('bytes that the user chose to take up a difference', () => {
  const PARTS = {
    lines: { from: 1, to: 4, data: 2, sum: 0 },
    totals: [{ name: 'sum', method: 'add', bits: 8, over: ['data'], label: 'total', keep: true }],
    options: [
      { id: 'fan', title: 'Fan', line: 1, byte: 1, values: { 0: 'off', 1: 'slow', 2: 'fast' } },
      { id: 'key', title: 'Key', line: 1, byte: 2, bits: '7', values: { 0: 'off', 1: 'on' }, hazard: 'security' },
    ],
  };
  const BEFORE = ['1: 00 00', '2: 20 20', '3: 10 10', '4: 05 05', 'total: 6A'];
  const found = (rows: readonly string[], parts: object = PARTS, before = BEFORE) => {
    const profile = profileOf(parts);
    const now = before.map(
      (row) => rows.find((other) => other.slice(0, other.indexOf(':')) === row.slice(0, row.indexOf(':'))) ?? row,
    );
    return reasons(dump(profile, ...before), dump(profile, ...now));
  };

  it('are a balance where an option was changed and the kept sum would not come out without them', () => {
    assert.deepEqual(found(['1: 02 00', '2: 1E 20']), ['1.1 option', '2.1 chosen-balance']);
    assert.deepEqual(found(['1: 02 00', '2: 20 1E']), ['1.1 option', '2.2 chosen-balance']);
  });

  it('are unexplained where fewer of them would have done: one is damage that was made up for', () => {
    for (const parts of [PARTS, { ...PARTS, balance: [] }]) {
      assert.deepEqual(found(['1: 02 00', '2: 26 18'], parts), ['1.1 option', '2.1 unexplained', '2.2 unexplained']);
      assert.deepEqual(found(['1: 02 00', '2: 1F 1F'], parts), ['1.1 option', '2.1 unexplained', '2.2 unexplained']);
    }
  });

  it('are unexplained where no option was changed', () => {
    assert.deepEqual(found(['2: 1E 22']), ['2.1 unexplained', '2.2 unexplained']);
    const listed = { ...PARTS, balance: [{ line: 3, byte: 1 }] };
    assert.deepEqual(found(['2: 1E 20', '3: 12 10'], listed), ['2.1 unexplained', '3.1 balance']);
  });

  it('are unexplained where they are in two lines', () => {
    assert.deepEqual(found(['1: 02 00', '2: 1F 20', '3: 0F 10']), ['1.1 option', '2.1 unexplained', '3.1 unexplained']);
  });

  it('are unexplained where the sum came out without them', () => {
    const parts = { ...PARTS, totals: [{ ...PARTS.totals[0], lines: '2-4' }] };
    assert.deepEqual(found(['1: 02 00', '2: 21 1F'], parts), ['1.1 option', '2.1 unexplained', '2.2 unexplained']);
  });

  it('are unexplained where no kept sum covers all of them', () => {
    const first = { ...PARTS.totals[0], lines: '1-3' };
    const before = [...BEFORE.slice(0, 4), 'total: 60'];
    assert.deepEqual(found(['1: 02 00', '4: 03 05'], { ...PARTS, totals: [first] }, before), [
      '1.1 option',
      '4.1 unexplained',
    ]);
  });

  it('are a balance also where the sum is stored between them', () => {
    const parts = {
      lines: { from: 1, to: 2, data: 3, sum: 0 },
      totals: [{ name: 'sum', method: 'add', bits: 8, over: ['data'], line: 2, byte: 2, keep: true }],
      options: [PARTS.options[0]],
    };
    const before = ['1: 00 00 00', '2: 20 40 20'];
    assert.deepEqual(found(['1: 02 00 00', '2: 1E 40 20'], parts, before), ['1.1 option', '2.1 chosen-balance']);
    assert.deepEqual(found(['1: 02 00 00', '2: 20 40 1E'], parts, before), ['1.1 option', '2.3 chosen-balance']);
  });

  it('are unexplained where the sum is not kept, or is wrong on either side', () => {
    const rewritten = { ...PARTS, totals: [{ ...PARTS.totals[0], keep: false }] };
    assert.deepEqual(found(['1: 02 00', '2: 1E 20'], rewritten), ['1.1 option', '2.1 unexplained']);
    assert.deepEqual(found(['1: 02 00', '2: 1F 20']), ['1.1 option', '2.1 unexplained']);
    const wrong = [...BEFORE.slice(0, 4), 'total: 6B'];
    assert.deepEqual(found(['1: 02 00', '2: 1F 20'], PARTS, wrong), ['1.1 option', '2.1 unexplained']);
  });

  it('are unexplained where a line that the sum covers cannot be read', () => {
    const torn = ['1: 00 00', '2: 20 20', '3: 10 1x', '4: 05 05', 'total: 6A'];
    assert.deepEqual(found(['1: 02 00', '2: 1E 20'], PARTS, torn), ['1.1 option', '2.1 unexplained']);
  });

  it('are unexplained beside a locked or security byte that differs', () => {
    const locked = { ...PARTS, locked: [{ line: 4, byte: 1 }] };
    assert.deepEqual(found(['1: 02 00', '2: 1D 20', '4: 06 05'], locked), [
      '1.1 option',
      '2.1 unexplained',
      '4.1 locked',
    ]);
    assert.deepEqual(found(['1: 02 80', '2: 9E 20']), ['1.1 option', '1.2 security', '2.1 unexplained']);
  });

  it('are no balance where they change by themselves, and stay what the profile says where it lists them', () => {
    const volatile = { ...PARTS, volatile: [{ line: 2, byte: 1 }] };
    assert.deepEqual(found(['1: 02 00', '2: 1E 20'], volatile), ['1.1 option', '2.1 volatile volatile']);
    const listed = { ...PARTS, balance: [{ line: 3, byte: 1 }] };
    assert.deepEqual(found(['1: 02 00', '3: 0E 10'], listed), ['1.1 option', '3.1 balance']);
  });

  it('are unexplained where one side has fewer bytes', () => {
    const profile = profileOf({ totals: PARTS.totals, options: [PARTS.options[0]] });
    const before = dump(profile, '1: 00 00', '2: 20 20', 'total: 40');
    const after = dump(profile, '1: 02 00', '2: 1E 20 00', 'total: 40');
    assert.deepEqual(reasons(before, after), ['1.1 option', '2.1 unexplained', '2.3 unexplained']);
    assert.equal(isExplained(compareDumps(before, after)), false);
  });

  it('are unexplained where a place that the profile names moved in the same kept sum, as that may make up for damage', () => {
    const listed = { ...PARTS, balance: [{ line: 4, byte: 2 }] };
    assert.deepEqual(found(['1: 02 00', '2: 26 20', '4: 05 FD'], listed), [
      '1.1 option',
      '2.1 unexplained',
      '4.2 balance',
    ]);
    assert.deepEqual(found(['1: 02 00', '2: 26 21', '4: 05 FC'], listed), [
      '1.1 option',
      '2.1 unexplained',
      '2.2 unexplained',
      '4.2 balance',
    ]);
    const xor = { ...listed, totals: [{ ...PARTS.totals[0], method: 'xor' }] };
    const before = [...BEFORE.slice(0, 4), 'total: 00'];
    assert.deepEqual(found(['1: 02 00', '2: 26 20', '4: 05 01'], xor, before), [
      '1.1 option',
      '2.1 unexplained',
      '4.2 balance',
    ]);
    assert.deepEqual(
      found(['1: 02 00', '2: 1E 20'], listed),
      ['1.1 option', '2.1 chosen-balance'],
      'no named place moved',
    );
  });

  it('are unexplained where a named place that moved holds an option as well', () => {
    const dim = { id: 'dim', title: 'Dim', line: 4, byte: 2, values: { 5: 'five' } };
    const listed = { ...PARTS, options: [...PARTS.options, dim], balance: [{ line: 4, byte: 2 }] };
    assert.deepEqual(found(['1: 02 00', '2: 26 20', '4: 05 FD'], listed), [
      '1.1 option',
      '2.1 unexplained',
      '4.2 option',
    ]);
  });

  it('are unexplained where the sum comes out without some of them', () => {
    const wide = {
      lines: { ...PARTS.lines, data: 3 },
      totals: PARTS.totals,
      options: [PARTS.options[0]],
    };
    const before = ['1: 00 00 00', '2: 20 20 20', '3: 10 10 10', '4: 05 05 05', 'total: 9F'];
    assert.deepEqual(found(['1: 02 00 00', '2: 1E 27 19'], wide, before), [
      '1.1 option',
      '2.1 unexplained',
      '2.2 unexplained',
      '2.3 unexplained',
    ]);
  });

  it('are unexplained where the kept sum is not as it was, though it is right on both sides', () => {
    assert.deepEqual(found(['1: 02 00', '2: 21 20', 'total: 6D']), ['1.1 option', '2.1 unexplained', 'total.1 total']);
  });

  it('are unexplained where another kept sum that covers them is wrong', () => {
    const second = { name: 'other sum', method: 'xor', bits: 8, over: ['data'], lines: '2-2', label: 'x', keep: true };
    const parts = { ...PARTS, totals: [...PARTS.totals, second] };
    assert.deepEqual(found(['1: 02 00', '2: 1E 20'], parts, [...BEFORE, 'x: 00']), ['1.1 option', '2.1 unexplained']);
  });

  it('are a balance by any of several kept sums', () => {
    const second = { name: 'other sum', method: 'xor', bits: 8, over: ['data'], lines: '3-4', label: 'x', keep: true };
    const parts = { ...PARTS, totals: [...PARTS.totals, second] };
    assert.deepEqual(found(['1: 02 00', '2: 1E 20'], parts, [...BEFORE, 'x: 00']), [
      '1.1 option',
      '2.1 chosen-balance',
    ]);
    const turned = { ...PARTS, totals: [second, ...PARTS.totals] };
    assert.deepEqual(found(['1: 02 00', '2: 1E 20'], turned, [...BEFORE, 'x: 00']), [
      '1.1 option',
      '2.1 chosen-balance',
    ]);
  });
});

describe('bytes that two kept sums share among them', () => {
  it('are unexplained where no one of the sums covers all of them, though each byte is in one', () => {
    const profile = profileOf({
      addresses: { from: 0, to: 9 },
      totals: [
        { name: 'front', method: 'add', bits: 8, over: [{ from: 0, to: 3 }], address: 8, keep: true },
        { name: 'back', method: 'add', bits: 8, over: [{ from: 4, to: 7 }], address: 9, keep: true },
      ],
      options: [0, 4].map((address) => ({ id: `o${address}`, title: 'O', address, number: {} })),
    });
    const of = (...data: number[]) => {
      const all = [...data, 10, 10];
      const sum = -[10, ...all].reduce((a, b) => a + b, 0) & 0xff;
      const digits = [10, 0, 0, 0, ...all, sum].map((byte) => byte.toString(16).padStart(2, '0').toUpperCase());
      return bindText('a.hex', `:${digits.join('')}\n:00000001FF\n`, profile);
    };
    const before = of(1, 3, 3, 3, 1, 3, 3, 3);
    const reasons = (...data: number[]) =>
      compareDumps(before, of(...data)).lines.flatMap(({ bytes }) =>
        bytes.flatMap(({ address, reason }) => (address === undefined ? [] : [`${address} ${reason}`])),
      );
    assert.deepEqual(reasons(2, 2, 3, 3, 1, 3, 3, 3), ['0 option', '1 chosen-balance']);
    assert.deepEqual(reasons(2, 2, 3, 3, 2, 2, 3, 3), ['0 option', '1 unexplained', '4 option', '5 unexplained']);
  });
});

describe('bytes of an image that the user chose to take up a difference', () => {
  const profile = profileOf({
    addresses: { from: 0x10, to: 0x4f },
    totals: [{ name: 'sum', method: 'add', bits: 16, over: [{ from: 0x14, to: 0x3b }], address: 0x4e, keep: true }],
    options: [{ id: 'fan', title: 'Fan', address: 0x18, values: { 0: 'off', 2: 'fast', 12: 'faster', 20: 'full' } }],
  });
  const STORED: Readonly<Record<number, number>> = { 78: (39 * 8) >> 8, 79: (39 * 8) & 0xff };
  const image = (bytes: Readonly<Record<number, number>>) => {
    const records = [0x10, 0x20, 0x30, 0x40].map((from) => {
      const data = Array.from({ length: 16 }, (_, i) => bytes[from + i] ?? STORED[from + i] ?? 8);
      const all = [16, 0, from, 0, ...data];
      const sum = -all.reduce((a, b) => a + b, 0) & 0xff;
      return `:${[...all, sum].map((byte) => (byte & 0xff).toString(16).padStart(2, '0').toUpperCase()).join('')}\n`;
    });
    return bindText('a.hex', `${records.join('')}:00000001FF\n`, profile);
  };
  const before = image({ 24: 0 });
  const found = (bytes: Readonly<Record<number, number>>) =>
    compareDumps(before, image(bytes)).lines.flatMap(({ bytes: all }) =>
      all.flatMap(({ address, reason }) => (address === undefined ? [] : [[address, reason]])),
    );

  it('are a balance where they are close together, in one record or in two', () => {
    assert.deepEqual(found({ 24: 2, 37: 6 }), [
      [0x18, 'option'],
      [0x25, 'chosen-balance'],
    ]);
    assert.deepEqual(found({ 24: 12, 33: 0, 48: 4 }), [
      [0x18, 'option'],
      [0x21, 'chosen-balance'],
      [0x30, 'chosen-balance'],
    ]);
  });

  it('are unexplained where the kept sum covers only some of them', () => {
    const isBalance = (...changes: readonly (readonly [address: number, value: number])[]) =>
      found({ 24: 2, ...Object.fromEntries(changes) }).every(
        ([, reason]) => reason === 'option' || reason === 'chosen-balance',
      );
    for (const inside of [0x14, 0x3b]) assert.equal(isBalance([inside, 6]), true);
    for (const outside of [0x12, 0x13, 0x3c, 0x3d, 0x4e]) assert.equal(isBalance([outside, 6]), false);
    assert.equal(isBalance([0x18, 20], [0x14, 0], [0x15, 0], [0x16, 4]), true);
    assert.equal(isBalance([0x18, 20], [0x13, 0], [0x14, 0], [0x15, 0], [0x16, 4]), false);
    assert.equal(isBalance([0x14, 9], [0x15, 9], [0x16, 4]), false, 'one would do');
    assert.equal(isBalance([0x14, 6], [0x15, 9], [0x16, 7]), false, 'two of them make up for each other');
    assert.equal(isBalance([0x13, 9], [0x14, 6]), false);
    assert.equal(isBalance([0x3b, 6], [0x3c, 9]), false);
  });

  it('are unexplained where they are sixteen addresses apart or more', () => {
    assert.deepEqual(found({ 24: 12, 33: 0, 49: 4 }), [
      [0x18, 'option'],
      [0x21, 'unexplained'],
      [0x31, 'unexplained'],
    ]);
  });
});
