import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { compareDumps } from '../../../shared-core/src/compare/index.js';
import { verdictInWords, verificationInWords, verifyReadBack } from '../../../shared-core/src/jobs/index.js';
import type { Dump } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { image, lines, profileOf, UNSAID } from '../../support/smallDumps.js';

const GEOMETRY = { lines: { from: 1, to: 8, data: 1, sum: 0 } };
const PROFILE = profileOf(GEOMETRY);
const textOf = (values: readonly number[]) => values.map((value, i) => `${i + 1}: 0${value}\n`).join('');
const PLAN = textOf([1, 2, 3, 4, 5, 6, 7, 8]);
const verified = (planned: Dump, read: Dump, found?: Dump) => {
  const {
    matches,
    isProof,
    foreign,
    unmatched,
    caveats,
    wrongSums,
    ignored,
    lines: wrong,
  } = verifyReadBack(planned, read, found);
  const words = (all: readonly Parameters<typeof say>[0][]) => all.map((one) => say(one));
  return {
    ...{ matches, isProof, foreign: foreign === undefined ? '' : say(foreign) },
    ...{ unmatched: words(unmatched), caveats: words(caveats), wrongSums: words(wrongSums) },
    ...{ ignored: ignored.map(({ label }) => label), wrong: wrong.map(({ line }) => line.label) },
  };
};

describe('what was read is what was planned', () => {
  const plan = lines(PROFILE, PLAN);

  it('only where each line is there and no byte differs', () => {
    assert.deepEqual(verified(plan, plan), {
      ...{
        matches: true,
        isProof: true,
        foreign: '',
        unmatched: [],
        caveats: UNSAID,
        wrongSums: [],
        ignored: [],
        wrong: [],
      },
    });
    const other = verified(plan, lines(PROFILE, PLAN.replace('3: 03', '3: 04')));
    assert.deepEqual([other.matches, other.isProof, other.wrong], [false, true, [3]]);
    const missing = verified(plan, lines(PROFILE, PLAN.replace('3: 03\n', '')));
    assert.deepEqual([missing.matches, missing.isProof], [false, false]);
    assert.deepEqual(missing.unmatched, ['Line 3 is missing in what was read. Read the module once more, as a whole.']);
  });

  it('and never where the headers say that it was not read from the module after the plan was written', () => {
    const of = (head: string) => lines(PROFILE, `${head}${PLAN}`);
    const [work, found] = [of('@backup found.cfgdump\n'), of('@seal x\n@taken 2026-03-01 10:36\n')];
    for (const [planned, read, why] of [
      [work, work, /^What was read names a backup \("@backup"\), so it is a dump in work/],
      [of('@taken 2026-03-01 09:00\n'), plan, /^The plan says when it was read .* so it is a reading and no plan/],
      [
        work,
        of('@taken 2026-03-01 09:00\n'),
        /^What was read is dated before the backup: its "@taken" is 2026-03-01 09:00, that of the backup is 2026-03-01 10:36/,
      ],
    ] as const) {
      const { matches, isProof, unmatched } = verified(planned, read, found);
      assert.deepEqual([matches, isProof], [false, false]);
      assert.match(unmatched.join(), why);
    }
    for (const [planned, read] of [
      [work, of('@taken 2026-03-01 11:00\n')],
      [work, plan],
      // What was found, written back.
      [found, of('@taken 2026-03-01 11:00\n')],
    ] as const)
      assert.equal(verified(planned, read, found).matches, true);
  });

  it('and never where one of the dumps is set aside, or does not say clearly what it is here for', () => {
    for (const head of ['comparison', 'another-module', 'comparision', '']) {
      const marked = lines(PROFILE, `@use ${head}\n${PLAN}`);
      for (const { matches, isProof } of [verified(plan, marked), verified(marked, plan)]) {
        assert.deepEqual([matches, isProof], [false, false], head);
      }
    }
    const { matches, isProof } = verified(plan, plan, lines(PROFILE, `@use comparison\n${PLAN}`));
    assert.deepEqual([matches, isProof], [false, false]);
  });

  it('and never where one fault comes with another', () => {
    const open = profileOf({});
    const [one, two] = ['1: 01\n2: 02\n', '1: 02\n2: 02\n3: 03\n'].map((text) => lines(open, text)) as [Dump, Dump];
    const both = verified(one, two);
    assert.deepEqual([both.matches, both.wrong, both.unmatched], [false, [1], ['Line 3 is new.']]);
    const total = { name: 'sum', label: 'total', method: 'add', bits: 8, over: ['data'], lines: '1-1' };
    const summed = profileOf({ totals: [total], volatile: [{ line: 1, byte: 1, why: 'counter' }] });
    const more = verified(lines(summed, '1: 01\ntotal: 01\n'), lines(summed, '1: 02\n2: 05\ntotal: 01\n'));
    assert.deepEqual([more.matches, more.wrong, more.unmatched.length, more.wrongSums.length], [false, [], 2, 1]);
    const torn = verified(plan, lines(PROFILE, `@vin A\n${PLAN.replace('3: 03', '3: 0x').replace('4: 04', '4: 05')}`));
    assert.deepEqual([torn.matches, torn.isProof, torn.wrong], [false, false, [4]]);
  });

  it('and never where it is of another vehicle, though no byte differs', () => {
    const [here, there] = ['@vin A\n', '@vin B\n'].map((head) => lines(PROFILE, head + PLAN)) as [Dump, Dump];
    const { matches, isProof, foreign } = verified(here, there);
    assert.deepEqual([matches, isProof], [false, true]);
    assert.equal(foreign, 'What was read is of another car: "@vin" is "A" in the plan and "B" there.');
  });

  it('says what no profile tells', () => {
    const bare = lines(EMPTY_PROFILE, PLAN);
    assert.deepEqual(verified(bare, bare).caveats, [
      'No profile explains them, so nobody can tell that nothing is missing from both.',
    ]);
  });

  it('says which line sums are wrong in both', () => {
    const summed = profileOf({
      lines: { from: 1, to: 3, data: 1, sum: 1 },
      lineSum: { method: 'add', over: ['data'] },
    });
    const dump = lines(summed, '1: 01 01\n2: 02 05\n3: 03 05\n');
    assert.deepEqual(verified(dump, dump).caveats, [
      'Line sums are wrong, as in the plan: 2, the first in line 2.',
      ...UNSAID,
    ]);
    assert.equal(verified(dump, dump).matches, true);
    const right = lines(summed, '1: 01 01\n2: 02 02\n3: 03 03\n');
    assert.deepEqual(verified(right, right).caveats, UNSAID);
    const first = lines(summed, '1: 01 02\n2: 02 02\n3: 03 03\n');
    assert.deepEqual(verified(first, first).caveats, [
      'Line sums are wrong, as in the plan: 1, the first in line 1.',
      ...UNSAID,
    ]);
  });
});

describe('what was read is probably of another module', () => {
  const plan = lines(PROFILE, PLAN);
  const FOREIGN = 'More than half of the lines differ: probably another vehicle, module or software level.';
  const differing = (count: number, of = 8) => {
    const profile = profileOf({ lines: { from: 1, to: of, data: 1, sum: 0 } });
    const planned = Array.from({ length: of }, () => 1);
    return verified(
      lines(profile, textOf(planned)),
      lines(profile, textOf(planned.map((value, i) => (i < count ? 2 : value)))),
    ).foreign;
  };

  it('where more than half of its lines differ, and more than three', () => {
    assert.deepEqual([differing(4), differing(5)], ['', FOREIGN]);
    assert.deepEqual([differing(3, 4), differing(4, 4), differing(3, 3)], ['', FOREIGN, '']);
    assert.deepEqual([differing(4, 7), differing(4, 6)], [FOREIGN, FOREIGN]);
    assert.equal(differing(6, 12), '');
  });

  it('where a locked byte differs, and not where it cannot be read', () => {
    const locked = profileOf({ ...GEOMETRY, locked: [{ line: 2, byte: 1, why: 'identity' }] });
    const of = (text: string) => verified(lines(locked, PLAN), lines(locked, text)).foreign;
    assert.equal(
      of(PLAN.replace('2: 02', '2: 03')),
      'Byte 1 of line 2 differs, which no work changes (identity): probably another vehicle, module or software level.',
    );
    assert.equal(of(PLAN.replace('2: 02', '2: 0x')), '');
    assert.equal(verified(lines(locked, PLAN.replace('2: 02', '2: 0x')), lines(locked, PLAN)).foreign, '');
    assert.equal(verified(plan, plan).foreign, '');
  });
});

describe('what changes by itself in the module', () => {
  const volatile = [{ line: 1, byte: 1, why: 'counter' }];
  const counter = profileOf({ ...GEOMETRY, volatile });
  const of = (value: number) => lines(counter, PLAN.replace('1: 01', `1: 0${value}`));

  it('is put aside, unless the work changes it and it is as it was before', () => {
    assert.deepEqual([verified(of(1), of(3)).matches, verified(of(1), of(3)).ignored], [true, [1]]);
    // Planned from 2 to 1: read as 2, it was not written; read as 3, it has changed by itself.
    assert.deepEqual(verified(of(1), of(2), of(2)).wrong, [1]);
    assert.deepEqual(verified(of(1), of(3), of(2)).wrong, []);
    assert.deepEqual(verified(of(1), of(2), of(1)).wrong, []);
  });

  it('is a byte that both have: one that only one of both has is other than planned', () => {
    const open = profileOf({ volatile: [{ line: 1, byte: 2, why: 'counter' }] });
    const [long, short, other] = ['1: 01 02\n', '1: 01\n', '1: 01 03\n'].map((text) => lines(open, text)) as [
      Dump,
      Dump,
      Dump,
    ];
    assert.deepEqual([verified(long, other).matches, verified(long, other).ignored], [true, [1]]);
    for (const [planned, read] of [
      [long, short],
      [short, long],
    ] as const)
      assert.deepEqual([verified(planned, read).matches, verified(planned, read).wrong], [false, [1]]);
    assert.deepEqual(verified(long, short, short).wrong, [1]);
  });

  it('is told apart by its address in an image', () => {
    const profile = profileOf({ addresses: { from: 0, to: 3 }, volatile: [{ address: 1, bytes: 2 }] });
    const at = (...data: readonly number[]) => {
      const bytes = [4, 0, 0, 0, ...data];
      const check = -bytes.reduce((all, byte) => all + byte, 0) & 0xff;
      return image(
        profile,
        `:${[...bytes, check].map((byte) => byte.toString(16).padStart(2, '0')).join('')}`,
        ':00000001FF',
      );
    };
    assert.deepEqual(verified(at(1, 2, 3, 4), at(1, 5, 3, 4), at(1, 6, 3, 4)).wrong, []);
    assert.deepEqual(verified(at(1, 2, 3, 4), at(1, 6, 3, 4), at(1, 6, 3, 4)).wrong, ['0000']);
    assert.deepEqual(verified(at(1, 2, 3, 4), at(1, 2, 6, 4), at(1, 6, 3, 4)).wrong, []);
    const cut = verified(at(1, 2, 3, 4), image(profile, ':020000000102FB', ':00000001FF'));
    assert.match(cut.unmatched.join(' '), /0002/);
  });

  it('proves nothing where it is every byte, but for those that are locked or a security option', () => {
    const all = {
      ...GEOMETRY,
      lines: { ...GEOMETRY.lines, to: 2 },
      volatile: [1, 2].map((line) => ({ line, byte: 1 })),
    };
    const proof = (more: object) => {
      const profile = profileOf({ ...all, ...more });
      return verified(lines(profile, '1: 01\n2: 02\n'), lines(profile, '1: 03\n2: 02\n')).isProof;
    };
    assert.equal(proof({}), false);
    assert.equal(proof({ volatile: [{ line: 1, byte: 1 }] }), true);
    assert.equal(proof({ locked: [{ line: 2, byte: 1, why: 'identity' }] }), true);
    const option = { id: 'key', title: 'Key', line: 2, byte: 1, values: { 2: 'two', 3: 'three' } };
    assert.equal(proof({ options: [{ ...option, hazard: 'security' }] }), true);
    assert.equal(proof({ options: [option] }), false);
    const unread = profileOf(all);
    const both = verified(lines(unread, '1: 01\n2: 02\n'), lines(unread, '1: 03\n2: 02\n0x\n?\n'));
    assert.deepEqual([both.matches, both.isProof], [false, false]);
  });
});

describe('the answer in one sentence', () => {
  const open = profileOf({});
  const said = (planned: Dump, read: Dump, found?: Dump) => say(verdictInWords(verifyReadBack(planned, read, found)));

  it('names the bytes of raw bytes by their addresses, and one likely cause: their file sum tells that they were badly read', () => {
    const profile = profileOf({
      addresses: { from: 0x80, to: 0x9f },
      volatile: [{ address: 0x81, bytes: 1 }],
      totals: [{ name: 'sum', method: 'add', bits: 8, over: [{ from: 0x80, to: 0x9e }], address: 0x9f }],
    });
    const raw = (...set: readonly (readonly [at: number, value: number])[]) => {
      const row = (from: number) =>
        Array.from({ length: 16 }, (_, i) => set.find(([at]) => at === from + i)?.[1] ?? 0)
          .map((byte) => byte.toString(16).padStart(2, '0'))
          .join(' ');
      return lines(profile, `0x0080: ${row(0x80)}\n0x0090: ${row(0x90)}\n`);
    };
    const [found, planned] = [raw(), raw([0x84, 1], [0x9f, 1])];
    const read = verifyReadBack(planned, raw([0x84, 1], [0x8a, 0x22], [0x9a, 0x33], [0x9f, 1]), found);
    assert.deepEqual(
      verificationInWords(read)
        .slice(0, 3)
        .map((one) => say(one)),
      [
        'What was read is NOT what was planned. Other than planned: at 008A, 009A.',
        'From 0080: address 008A is 22, not 00. The file sum does not fit it: mistyped, or badly read.',
        // The work does not touch it, and yet the module did not change it by itself: it would have made the sum fit.
        'From 0090: address 009A is 33, not 00. The file sum does not fit it: mistyped, or badly read.',
      ],
    );
    const [slip] = verifyReadBack(planned, raw([0x84, 1], [0x8a, 2], [0x9f, 1]), found).lines;
    assert.equal(slip && say(slip.cause), 'A digit was mistyped: at 008A is 02 instead of 00.');
    assert.equal(
      say(verdictInWords(verifyReadBack(planned, raw([0x81, 7], [0x84, 1], [0x9f, 8]), found))),
      'What was read is what was planned. Only places that the module changes by itself differ, at 0081, 009F.',
    );
  });

  it('names the lines that are other than planned, the first eight of them', () => {
    const answer = (count: number) => {
      const planned = Array.from({ length: 20 }, () => 1);
      const read = planned.map((value, i) => (i < count ? 2 : value));
      // The work changes all of them.
      return said(lines(open, textOf(planned)), lines(open, textOf(read)), lines(open, textOf(planned.map(() => 3))));
    };
    const begin = 'What was read is NOT what was planned. Other than planned: line';
    assert.equal(answer(7), `${begin} 1, 2, 3, 4, 5, 6, 7.`);
    assert.equal(answer(8), `${begin} 1, 2, 3, 4, 5, 6, 7, 8.`);
    const nine = 'Other than planned: 9 lines, the first are 1, 2, 3, 4, 5, 6, 7, 8.';
    assert.equal(answer(9), `What was read is NOT what was planned. ${nine}`);
    assert.equal(answer(0), 'What was read is what was planned, byte for byte.');
  });

  it('is no where lines are missing or new, or the program starts elsewhere', () => {
    const [one, two] = ['1: 01\n', '1: 01\n2: 02\n'].map((text) => lines(open, text)) as [Dump, Dump];
    assert.match(said(one, two), /^What was read is NOT what was planned: Line 2 is new/);
    assert.match(said(two, one), /^What was read is NOT what was planned: Line 2 is missing/);
    assert.match(said(two, lines(open, '1: 01\n3: 02\n')), /^What was read is NOT what was planned: Line 2 is missing/);
    const record = ':0400000001020304F2';
    const [here, there] = [':0400000500000000F7', ':0400000500000001F6'].map((start) =>
      image(open, record, start, ':00000001FF'),
    ) as [Dump, Dump];
    assert.match(said(here, there), /^What was read is NOT what was planned: .*start/i);
    const shifted = image(open, record, ':020010000506E3', ':00000001FF');
    assert.match(said(image(open, record, ':00000001FF'), shifted), /^What was read is NOT what was planned: /);
  });

  it('is that nobody can tell where not everything was read', () => {
    const torn = lines(PROFILE, PLAN.replace('3: 03', '3: 0x'));
    assert.match(said(lines(PROFILE, PLAN), torn), /^This cannot be verified, as not everything was read: /);
  });
});

describe('a sum that is wrong in the plan itself', () => {
  const profile = profileOf({
    lines: { from: 1, to: 2, data: 2, sum: 1 },
    lineSum: { method: 'add', over: ['data'] },
    totals: [{ name: 'file sum', label: 'total', method: 'add', bits: 8, over: ['data'] }],
    volatile: [{ line: 2, byte: 1, why: 'counter' }],
  });
  const read = lines(profile, '1: 01 02 | 03\n2: 14 04 | 18\ntotal: 1B\n');
  const said = (text: string) => {
    const { matches, wrongInPlan } = verifyReadBack(lines(profile, text), read, undefined);
    return [matches, wrongInPlan.map((one) => say(one))];
  };

  it('is named, though the read-back is right and only what changes by itself differs beside it', () => {
    assert.deepEqual(said('1: 01 02 | 03\n2: 04 04 | 08\ntotal: 01\n'), [
      true,
      ['The file sum is wrong in the plan: it is 01, its bytes make 0B.'],
    ]);
    assert.deepEqual(said('1: 01 02 | 03\n2: 04 04 | 09\ntotal: 0B\n'), [
      true,
      ['Line sums are wrong in the plan: 1, the first in line 2.'],
    ]);
    assert.deepEqual(said('1: 01 02 | 03\n2: 04 04 | 08\ntotal: 0B\n'), [true, []]);
  });

  it('is named where other bytes are read other than planned, too', () => {
    assert.deepEqual(said('1: 01 03 | 03\n2: 14 04 | 18\ntotal: 1B\n'), [
      false,
      [
        'The file sum is wrong in the plan: it is 1B, its bytes make 1C.',
        'Line sums are wrong in the plan: 1, the first in line 1.',
      ],
    ]);
  });
});

describe('a file sum that cannot be checked on either side', () => {
  it('is named, and what agrees is no match', () => {
    const profile = profileOf({
      addresses: { from: 0x10, to: 0x1f },
      absent: [{ from: 0x14, to: 0x15 }],
      totals: [{ name: 'file sum', method: 'add', bits: 8, over: [{ from: 0x10, to: 0x1e }], address: 0x1f }],
    });
    const dump = image(profile, ':0400100001020304E2', ':0A00160001020304050607080901B2', ':00000001FF');
    const { matches, isProof, unmatched } = verified(dump, dump);
    assert.deepEqual([matches, isProof, unmatched.length], [false, true, 1]);
    assert.match(unmatched[0] ?? '', /^The file sum cannot be checked: /);
  });
});

describe('a plan and a read-back', () => {
  const head = (name: string) => `@profile ${name}\n${PLAN}`;
  const [named, other] = [lines(PROFILE, head('p.dump-profile.json')), lines(profileOf(GEOMETRY), head('q.json'))];
  const bare = lines(EMPTY_PROFILE, PLAN);
  const why = (planned: Dump, read: Dump) => {
    const { matches, isProof, unmatched } = verified(planned, read);
    return [matches, isProof, unmatched];
  };

  it('prove nothing where only the read-back names a profile; one that names none is read by that of the plan', () => {
    const said = [false, false, ['One names the profile "p.dump-profile.json", the other names none.']];
    assert.deepEqual(why(bare, named), said);
    assert.deepEqual(why(named, bare), [true, true, []]);
  });

  it('prove nothing where they name different ones, nor are two dumps called the same', () => {
    assert.deepEqual(why(named, other), [
      false,
      false,
      [
        'They name two profiles, "p.dump-profile.json" and "q.json", so they are of two modules or of two versions of one. Nothing is proved.',
      ],
    ]);
    assert.equal(compareDumps(named, other).identical, false);
  });

  it('prove nothing where no profile explains them', () => {
    assert.deepEqual(why(bare, bare).slice(0, 2), [false, false]);
  });
});
