import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { differingBytes, differs, isExplained } from '../../../shared-core/src/compare/compareDumps.js';
import { type Comparison, compareDumps, comparisonInWords } from '../../../shared-core/src/compare/index.js';
import { textOfRows } from '../../../shared-core/src/format/index.js';
import { afterWrites } from '../../../shared-core/src/model/byteWrite.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { setOption } from '../../../shared-core/src/options/setOption.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { freeCells } from '../../../shared-core/src/repair/freeCells.js';
import { rebalance } from '../../../shared-core/src/repair/rebalance.js';
import { demoDump, dumpOf } from '../../support/demo.js';
import { profileOf } from '../../support/smallDumps.js';

const found = demoDump('rear-body.as-found.cfgdump');
const edited = (change: (text: string) => string): Dump => dumpOf(change(textOfRows(found.rows)), found.profile);
const reasons = (after: Dump) =>
  compareDumps(found, after).lines.map(({ label, bytes }) => [label, bytes.map(({ reason }) => reason)]);

/** The demo with its socket set and the difference taken up by a line that the profile does not list. */
function balancedWithLine(label: number): Dump {
  const [option] = found.profile.options;
  assert.ok(option);
  const set = setOption(found, option, 2n);
  assert.ok(set.ok);
  const changed = afterWrites(found, set.value);
  const row = found.layout.rowOf(label) as number;
  const repair = rebalance(changed, freeCells(changed, row), [0]);
  assert.ok(repair.ok);
  const lineSum = afterWrites(changed, repair.value.writes);
  const text = textOfRows(lineSum.rows).replace('FF | 88', 'FF | A8');
  return dumpOf(text, found.profile);
}

describe('the comparison of two dumps', () => {
  it('calls a line that took up the difference a balance, also where the profile does not list it', () => {
    assert.deepEqual(reasons(balancedWithLine(14)), [
      [4, ['option', 'line-sum']],
      [14, ['chosen-balance', 'line-sum']],
    ]);
  });

  it('says that a sum is wrong, on either side, and never that all is as it should be then', () => {
    const json = {
      lines: { from: 1, to: 2, data: 2, sum: 1 },
      lineSum: { method: 'add', over: ['data'] },
      totals: [{ name: 'file sum', method: 'add', bits: 8, over: ['data'], label: 'total' }],
      options: [{ id: 'a', title: 'A', line: 1, byte: 1, number: {} }],
    };
    const profile = profileOf(json);
    const RIGHT = '1: 01 02 03\n2: 03 04 07\ntotal: 0A\n';
    const said = (before: string, after: string) =>
      comparisonInWords(compareDumps(dumpOf(before, profile), dumpOf(after, profile))).map((one) => say(one));
    const [line, total] = [RIGHT.replace('07', '08'), RIGHT.replace('0A', '0B')];
    for (const [before, after, words] of [
      [RIGHT, line, 'The sum of line 2 is wrong now (1 in all). Correct it before you write this dump.'],
      [line, RIGHT, 'The sum of line 2 is wrong before (1 in all).'],
      [RIGHT, total, 'The file sum is wrong now. Correct it before you write this dump.'],
      [total, RIGHT, 'The file sum is wrong before.'],
    ] as const)
      assert.deepEqual(said(before, after).slice(1), [words]);
    const stale = said(RIGHT, RIGHT.replace('1: 01', '1: 02'));
    assert.equal(stale.length, 4, stale.join('\n'));
    assert.doesNotMatch(stale.join('\n'), /every changed byte/);
    const right = said(RIGHT, '1: 02 02 04\n2: 03 04 07\ntotal: 0B\n');
    assert.match(right.at(-1) ?? '', /^Nothing else differs: every changed byte/);
  });

  it('explains nothing where the kept sum does not come out', () => {
    const after = edited((text) => text.replace('14: 20', '14: 21'));
    assert.deepEqual(reasons(after), [[14, ['unexplained']]]);
  });

  it('explains nothing where no option was changed, or where two lines took up something', () => {
    const two = edited((text) => text.replace('14: 20 00', '14: 21 00').replace('15: 61', '15: 60'));
    assert.deepEqual(
      reasons(two).map(([, all]) => all),
      [['unexplained'], ['unexplained']],
    );
    const one = edited((text) => text.replace('14: 20 00 14', '14: 21 00 13'));
    assert.deepEqual(reasons(one), [[14, ['unexplained', 'unexplained']]]);
  });

  it('says that no balance place of the profile is there, and calls nothing explained in silence', () => {
    const words = comparisonInWords(compareDumps(found, balancedWithLine(14))).map((one) => say(one));
    assert.match(words.join('\n'), /takes up the difference, in no balance place of the profile/);
    assert.match(
      words.at(-1) ?? '',
      /^Changed bytes that take up the difference where the profile names no balance place: 1\. Nothing else differs, if you chose them for that/,
    );
    assert.doesNotMatch(words.join('\n'), /every changed byte is/);
  });

  it('calls no line a balance where nothing was left for it to take up', () => {
    const profile = profileOf({
      lines: { from: 1, to: 3, data: 2, sum: 0 },
      totals: [{ label: 'total', method: 'add', bits: 8, over: ['data'], keep: true }],
      balance: [{ line: 3, byte: 1 }],
      options: [{ id: 'fan', title: 'Fan', line: 1, byte: 1, values: { 0: 'off', 1: 'slow', 2: 'fast' } }],
    });
    const of = (...lines: readonly string[]) => bindText('a.cfgdump', `${lines.join('\n')}\ntotal: 99\n`, profile);
    const before = of('1: 00 09', '2: 20 20', '3: 40 10');
    const said = (after: Dump) =>
      compareDumps(before, after).lines.flatMap(({ label, bytes }) => bytes.map(({ reason }) => `${label} ${reason}`));
    assert.deepEqual(said(of('1: 02 09', '2: 20 1E', '3: 40 10')), ['1 option', '2 chosen-balance']);
    assert.deepEqual(said(of('1: 02 09', '2: 21 1F', '3: 3E 10')), [
      '1 option',
      '2 unexplained',
      '2 unexplained',
      '3 balance',
    ]);
  });

  it('never calls a locked byte a balance', () => {
    const balanced = textOfRows(balancedWithLine(14).rows);
    const after = dumpOf(balanced.replace('14: 00 00', '14: 20 00').replace(' 1: 06', ' 1: E6'), found.profile);
    assert.ok(reasons(after).some(([label, all]) => label === 1 && (all as string[])[0] === 'locked'));
  });

  for (const [what, change] of [
    ['a line that cannot be read on either side', (text: string) => text.replace('14: 20', '14: 2O')],
    ['a line that stands twice', (text: string) => `${text}14: 00 00 00 00 00 00 | 00\n`],
  ] as const) {
    it(`${what} is named, and the dumps are not called the same`, () => {
      const after = edited(change);
      for (const [a, b] of [
        [after, after],
        [found, after],
        [after, found],
      ] as const) {
        const comparison = compareDumps(a, b);
        assert.equal(comparison.identical, false);
        assert.deepEqual(comparison.uncompared, [14]);
        assert.match(
          comparisonInWords(comparison)
            .map((said) => say(said))
            .join('\n'),
          /Line 14 .*not compared/,
        );
      }
    });
  }

  it('calls a dump the same as itself', () => {
    assert.equal(compareDumps(found, found).identical, true);
  });
});

/** A record of an Intel HEX file. */
function record(address: number, type: number, data: readonly number[]): string {
  const bytes = [data.length, address >> 8, address & 0xff, type, ...data];
  const sum = -bytes.reduce((all, byte) => all + byte, 0) & 0xff;
  return `:${[...bytes, sum].map((byte) => byte.toString(16).padStart(2, '0').toUpperCase()).join('')}\n`;
}

describe('what two dumps that are read whole are found to differ in', () => {
  const byte = fc.constantFrom(0, 1, 0xff);
  const line = fc.array(byte, { minLength: 1, maxLength: 3 });
  const module = fc.dictionary(fc.constantFrom('1', '2', '3', '4'), line, { minKeys: 1 });
  const written = (data: readonly number[]) => data.map((one) => one.toString(16).padStart(2, '0')).join(' ');
  const text = (lines: Readonly<Record<string, readonly number[]>>) =>
    Object.entries(lines)
      .map(([label, data]) => `${label}: ${written(data)}\n`)
      .join('');
  const labels = (lines: object, others: object) =>
    Object.keys(lines)
      .filter((label) => !(label in others))
      .map(Number);

  it('is each byte of each line, by its label', () => {
    fc.assert(
      fc.property(module, module, (one, other) => {
        const [before, after] = [one, other].map((lines) => bindText('a.cfgdump', text(lines), EMPTY_PROFILE)) as [
          Dump,
          Dump,
        ];
        const comparison = compareDumps(before, after);
        const found = comparison.lines.flatMap(({ label, bytes }) =>
          bytes.map(({ byte: at, before: was, after: now }) => [label, at, was, now]),
        );
        const wanted = Object.entries(other).flatMap(([label, data]) => {
          const old = one[label];
          const longer = (old ?? []).length > data.length ? (old ?? []) : data;
          return old === undefined
            ? []
            : longer.flatMap((_, at) => (old[at] === data[at] ? [] : [[Number(label), at + 1, old[at], data[at]]]));
        });
        assert.deepEqual(found, wanted);
        assert.deepEqual([comparison.onlyBefore, comparison.onlyAfter], [labels(one, other), labels(other, one)]);
        const isSame = text(one) === text(other);
        assert.deepEqual([comparison.identical, differs(comparison)], [isSame, !isSame]);
        assert.equal(differingBytes(comparison), wanted.length);
      }),
    );
  });

  it('is each byte of an image by its address, whatever record holds it, and where the program starts', () => {
    const image = fc.record({
      data: fc.dictionary(fc.constantFrom('0', '4', '8', '12'), fc.array(byte, { minLength: 1, maxLength: 4 }), {
        minKeys: 1,
      }),
      start: fc.option(fc.nat(1), { nil: undefined }),
    });
    const bytesOf = (data: Readonly<Record<string, readonly number[]>>) =>
      new Map(
        Object.entries(data).flatMap(([from, all]) => all.map((one, i) => [0x10 + Number(from) + i, one] as const)),
      );
    fc.assert(
      fc.property(image, image, (one, other) => {
        const [before, after] = [one, other].map(({ data, start }) => {
          const records = Object.entries(data).map(([from, all]) => record(0x10 + Number(from), 0, all));
          const starts = start === undefined ? '' : record(0, 5, [0, 0, 0, start]);
          return bindText('a.hex', `${records.join('')}${starts}:00000001FF\n`, EMPTY_PROFILE);
        }) as [Dump, Dump];
        const comparison = compareDumps(before, after);
        const [was, now] = [bytesOf(one.data), bytesOf(other.data)];
        const both = [...now].filter(([address, value]) => was.has(address) && was.get(address) !== value);
        assert.deepEqual(
          comparison.lines.flatMap(({ bytes }) =>
            bytes.flatMap(({ address, after: value }) => (address === undefined ? [] : [[address, value]])),
          ),
          both,
        );
        for (const { label, bytes } of comparison.lines) {
          assert.match(String(label), /^00[12][048C]$/);
          assert.ok(bytes.some(({ address = 0 }) => address - Number.parseInt(String(label), 16) < 4));
        }
        const isSame =
          both.length === 0 && was.size === now.size && [...was.keys()].every((address) => now.has(address));
        const isStart = one.start === other.start;
        assert.deepEqual(comparison.start, isStart ? undefined : { before: one.start, after: other.start });
        assert.deepEqual([comparison.identical, differs(comparison)], [isSame && isStart, !(isSame && isStart)]);
      }),
    );
  });
});

describe('two dumps that differ in nothing but what is accounted for', () => {
  const [one, other] = ['1: 01\n', '1: 02\n'].map((text) => bindText('a.cfgdump', text, EMPTY_PROFILE)) as [Dump, Dump];
  const same = compareDumps(one, one);
  const [line] = compareDumps(one, other).lines;
  const [difference] = line?.bytes ?? [];
  const lines = (...reasons: readonly (readonly ('option' | 'unexplained' | 'locked' | 'security')[])[]) =>
    reasons.map((all) => ({
      ...line,
      bytes: all.map((reason) => ({ ...difference, reason })),
    })) as unknown as Comparison['lines'];
  const guarded = [{}] as unknown as Comparison['guarded'];
  const unread = [{}] as unknown as Comparison['unread'];
  const OTHERS: Partial<Comparison>[] = [
    { guarded },
    { unread },
    { onlyBefore: [1] },
    { onlyAfter: [1] },
    { uncompared: [1] },
    { unplaced: 1 },
  ];

  it('are explained where every byte of every line has a reason that is allowed', () => {
    assert.equal(isExplained(same), true);
    assert.equal(isExplained({ ...same, lines: lines(['option', 'option'], ['option']) }), true);
    for (const reason of ['unexplained', 'locked', 'security'] as const) {
      assert.equal(isExplained({ ...same, lines: lines(['option', reason]) }), false);
      assert.equal(isExplained({ ...same, lines: lines(['option'], [reason]) }), false);
    }
  });

  it('are not explained by anything else that differs or could not be read, whatever comes together', () => {
    for (const [i, first] of OTHERS.entries()) {
      assert.equal(isExplained({ ...same, ...first }), false);
      for (const second of OTHERS.slice(i)) assert.equal(isExplained({ ...same, ...first, ...second }), false);
    }
    for (const start of [
      { before: 1, after: 2 },
      { before: undefined, after: 2 },
    ])
      assert.equal(isExplained({ ...same, start }), false);
  });

  it('are known to differ by a line, a line of one side alone, or the start, whatever comes together', () => {
    const ways: Partial<Comparison>[] = [
      { lines: lines(['option']) },
      { onlyBefore: [1] },
      { onlyAfter: [1] },
      { start: { before: 1, after: 2 } },
    ];
    assert.equal(differs(same), false);
    for (const first of ways) for (const second of ways) assert.equal(differs({ ...same, ...first, ...second }), true);
    for (const more of [{ uncompared: [1] }, { unplaced: 1 }, { unread }])
      assert.equal(differs({ ...same, ...more }), false);
    assert.equal(differingBytes({ ...same, lines: lines(['option', 'option'], ['option']) }), 3);
  });
});
