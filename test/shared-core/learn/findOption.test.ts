import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/phrase.js';
import { optionOf } from '../../../shared-core/src/learn/addOption.js';
import { alikeCandidates } from '../../../shared-core/src/learn/findOption/alike.js';
import { findOption, type OptionSearch } from '../../../shared-core/src/learn/findOption/findOption.js';
import type { LabelledDump } from '../../../shared-core/src/learn/findOption/labelledDump.js';
import { explainPair, pairIn } from '../../../shared-core/src/learn/findOption/pair.js';
import type { OptionPlace } from '../../../shared-core/src/learn/findOption/partitions.js';
import { aloneInWords } from '../../../shared-core/src/learn/findOption/searchInWords.js';
import { groupByTag, labelledByTag, tagCounts } from '../../../shared-core/src/learn/findOption/tags.js';
import { comparedIn, comparedOf, numbers } from './dumps.js';

const GROUPS = ['with', 'without'];

/** Dumps of three lines of four bytes with noise everywhere but in line 3; `set` puts the equipment in. */
function family(
  groups: readonly (number | undefined)[],
  set: (lines: number[][], group: number | undefined, index: number) => void,
  beginning = 7,
): LabelledDump[] {
  const next = numbers(beginning);
  return groups.map((group, index) => {
    const lines = [
      [next(256), next(256), 0x40, next(16)],
      [0x10, next(4), next(256), 0],
      [0, 0, 0, 0],
    ];
    set(lines, group, index);
    return { name: `car ${index + 1}`, dump: comparedOf(lines), group };
  });
}

const half = (each: number) => Array.from({ length: 2 * each }, (_, i) => (i < each ? 0 : 1));
const where = ({ line, byte, count, bits }: OptionPlace) =>
  `${line}.${byte}${count === 2 ? '+' : ''}:${bits.high === bits.low ? bits.low : `${bits.high}-${bits.low}`}`;
const bestOf = ({ candidates }: OptionSearch) => {
  const [best] = candidates;
  assert.ok(best);
  return best;
};
const remarks = ({ remarks: said }: OptionSearch) => said.map((one) => say(one)).join('\n');

const TWO_BYTES = { format: 1, lines: { from: 1, to: 1, data: 2, sum: 0 } };
const cars = (text: (group: number, i: number) => string): LabelledDump[] =>
  half(6).map((group, i) => ({ name: `car ${i}`, dump: comparedIn(text(group, i), TWO_BYTES), group }));

describe('find the option', () => {
  it('one bit between ten dumps with and ten without', () => {
    const found = findOption(
      family(half(10), (lines, group) => {
        lines[2]![1] = group === 0 ? 0x20 : 0;
      }),
      GROUPS,
    );
    const best = bestOf(found);
    assert.equal(where(best.place), '3.2:5');
    assert.deepEqual(best.values, [[1], [0]]);
    assert.ok(Math.abs(best.p - 1 / 92378) < 1e-12);
    assert.ok(best.q < 0.01);
    assert.deepEqual(best.exceptions, []);
    assert.deepEqual(found.remarks, []);
  });

  it('two bits that mean it together: the half byte comes before its bits', () => {
    const found = findOption(
      family(half(10), (lines, group, index) => {
        lines[2]![1] = group === 0 ? [0x10, 0x20][index % 2]! : 0;
      }),
      GROUPS,
    );
    const best = bestOf(found);
    assert.equal(where(best.place), '3.2:7-4');
    assert.deepEqual(best.values, [[1, 2], [0]]);
    assert.deepEqual(best.exceptions, []);
  });

  it('bits of a byte that only change together are one place, of one pair as of many dumps', () => {
    for (const [withIt, without, place, values] of [
      [0x34, 0x04, '3.2:5-4', [[3], [0]]],
      [0x85, 0x01, '3.2:7-2', [[0x21], [0]]],
      [0x81, 0x00, '3.2:7-0', [[0x81], [0]]],
    ] as const)
      for (const each of [1, 2, 8]) {
        const found = findOption(
          family(half(each), (lines, group) => {
            lines[0] = [1, 2, 0x40, 3];
            lines[1] = [0x10, 0, 0, 0];
            lines[2]![1] = group === 0 ? withIt : without;
          }),
          GROUPS,
        );
        assert.deepEqual(
          found.candidates.map((one) => [where(one.place), one.values, one.sameAs]),
          [[place, values, []]],
        );
      }
  });

  it('half of such a place with noise beside it is none of its own', () => {
    const found = findOption(
      family(half(8), (lines, group, index) => {
        lines[2]![1] = (group === 0 ? 0x84 : 0) | (index % 2);
      }),
      GROUPS,
    );
    assert.deepEqual(
      found.candidates.filter(({ place }) => place.line === 3 && place.byte === 2).map(({ place }) => where(place)),
      ['3.2:7-2'],
    );
  });

  it('bits that change together around one that does not stay apart, and are named together', () => {
    const found = findOption(
      family(half(8), (lines, group, index) => {
        lines[2]![1] = (group === 0 ? 0x28 : 0) | ((index % 2) << 4);
      }),
      GROUPS,
    );
    const best = bestOf(found);
    assert.deepEqual([best.place, ...best.sameAs].map(where), ['3.2:5', '3.2:3']);
  });

  it('a number over two bytes', () => {
    const found = findOption(
      family(half(10), (lines, group, index) => {
        // Only both bytes together tell: the same bytes occur on both sides.
        const pairs = [
          [0x0102, 0x0201],
          [0x0101, 0x0202],
        ] as const;
        const value = pairs[group as 0 | 1][index % 2] as number;
        lines[2]![2] = value >> 8;
        lines[2]![3] = value & 0xff;
      }),
      GROUPS,
    );
    const best = bestOf(found);
    assert.equal(where(best.place), '3.3+:7-0');
    assert.deepEqual(best.values, [
      [0x0102, 0x0201],
      [0x0101, 0x0202],
    ]);
  });

  it('places that move together are one candidate', () => {
    const found = findOption(
      family(half(8), (lines, group) => {
        lines[2]![0] = group === 0 ? 0x01 : 0;
        lines[2]![3] = group === 0 ? 0 : 0x80;
      }),
      GROUPS,
    );
    const best = bestOf(found);
    assert.deepEqual([best.place, ...best.sameAs].map(where), ['3.1:0', '3.4:7']);
  });

  it('of many places that move together three are named before one of them goes into a profile, and the others counted', () => {
    const alone = (...places: readonly (readonly [number, number])[]) => {
      const found = findOption(
        family(half(8), (lines, group) => {
          for (const [line, byte] of places) lines[line]![byte] = group === 0 ? 1 : 0;
        }),
        GROUPS,
      );
      return say(aloneInWords(found, bestOf(found))!);
    };
    const [first, second, ...more] = [
      [2, 0],
      [2, 1],
      [2, 2],
      [2, 3],
      [1, 3],
      [0, 2],
    ] as const;
    assert.match(
      alone(first, second),
      /^In these dumps line 3, byte 1, bit 0 never changes without line 3, byte 2, bit 0\. /,
    );
    assert.match(
      alone(first, second, more[0], more[1]),
      / without 3 other places \((?:line \d, byte \d, bit 0(?:; )?){3}\)\. As an option /,
    );
    assert.match(
      alone(first, second, ...more),
      / without 5 other places \((?:line \d, byte \d, bit 0; ){3}and 2 more\)\. As an option /,
    );
  });

  it('a wrong label does not defeat it: the dump is named', () => {
    const found = findOption(
      family(half(10), (lines, group, index) => {
        lines[2]![1] = (group === 0) !== (index === 13) ? 0x04 : 0;
      }),
      GROUPS,
    );
    const best = bestOf(found);
    assert.equal(where(best.place), '3.2:2');
    assert.deepEqual(
      best.exceptions.map((dump) => found.matrix.dumps[dump]?.name),
      ['car 14'],
    );
    assert.ok(best.q < 0.05);
  });

  it('of thousands of dumps, with wrong labels: the bit comes before wider places around it', () => {
    const next = numbers(3);
    const dumps = Array.from({ length: 4000 }, (_, index) => {
      const isFitted = index % 2 === 0;
      const set = isFitted !== (next(20) === 0) ? 0x04 : 0;
      const dump = comparedOf([[(next(256) & 0xfb) | set, next(256)]]);
      return { name: `car ${index}`, dump, group: isFitted ? 0 : 1 };
    });
    assert.equal(where(bestOf(findOption(dumps, GROUPS)).place), '1.1:2');
  });

  for (const [said, values] of [
    [
      'three values of a half byte on each side',
      [
        [0x10, 0x40, 0x70],
        [0x00, 0x20, 0x30],
      ],
    ],
    ['any of many values with it, one without', [[0x11, 0x52, 0x83, 0x27, 0x35, 0x4a, 0x66, 0x78], [0xff]]],
  ] as const)
    for (const wrong of [2, 4])
      it(`${said}, ${wrong} of 40 dumps with a wrong label`, () => {
        const found = findOption(
          family(half(20), (lines, group, index) => {
            const isFitted = (group === 0) !== [3, 25, 11, 31].slice(0, wrong).includes(index);
            const kinds = values[isFitted ? 0 : 1];
            lines[2]![1] = kinds[(index * 7) % kinds.length] as number;
          }),
          GROUPS,
        );
        const { place, q, method } = bestOf(found);
        assert.match(where(place), /^3\.2:/);
        assert.ok(q < 0.05, String(q));
        assert.equal(method, 'exact');
      });

  it('three trim levels', () => {
    const groups = Array.from({ length: 24 }, (_, i) => i % 3);
    const found = findOption(
      family(groups, (lines, group) => {
        lines[2]![2] = [0x30, 0x50, 0x90][group as number] as number;
      }),
      ['plain', 'middle', 'full'],
    );
    const best = bestOf(found);
    assert.equal(where(best.place), '3.3:7-4');
    assert.deepEqual(best.values, [[3], [5], [9]]);
  });

  it('line sums, totals and volatile places never come up', () => {
    const profile = {
      format: 1,
      lines: { from: 1, to: 2, data: 2, sum: 1 },
      lineSum: { method: 'add', over: ['data'] },
      totals: [{ label: 'total', method: 'add', bits: 16, over: ['data'] }],
      volatile: [{ line: 2, byte: 2 }],
    };
    const dumps = half(6).map((group, index) => {
      const option = group === 0 ? 0x08 : 0;
      const sums = [option, 0x11 * group].map((sum) => sum.toString(16).padStart(2, '0'));
      const text = `1: 00 ${option.toString(16).padStart(2, '0')} ${sums[0]}\n2: 00 ${sums[1]} ${sums[1]}\ntotal: 00 ${sums[0]}\n`;
      return { name: `car ${index + 1}`, dump: comparedIn(text, profile), group };
    });
    const found = findOption(dumps, GROUPS);
    assert.deepEqual(
      found.candidates.flatMap(({ place, sameAs }) => [place, ...sameAs].map(where)),
      ['1.2:3'],
    );
  });

  it('three against three: says that no answer is possible, with the numbers', () => {
    const found = findOption(
      family(half(3), (lines, group) => {
        lines[2]![1] = group === 0 ? 0x20 : 0;
      }),
      GROUPS,
    );
    assert.match(
      remarks(found),
      /Too few dumps for any answer \(3 with, 3 without\)\. .*: could be chance: 1 in 10\. \d+ dumps of each would be enough\. Different patterns among the bits that vary: \d+; /,
    );
    assert.ok(bestOf(found).q > 0.05);
  });

  it('names the unlabelled dump that settles best between two candidates', () => {
    const groups = [...half(5), undefined, undefined, undefined];
    const dumps = family(groups, (lines, group, index) => {
      lines[0]!.fill(0);
      lines[1]!.fill(0);
      const equipped = group === 0;
      // Both places separate the labelled dumps; of the others, only car 12 has one without the other.
      lines[2]![0] = equipped || index === 10 ? 1 : 0;
      lines[2]![1] = equipped || index === 10 || index === 11 ? 1 : 0;
      if (index === 0) lines[2]![1] = 0;
    });
    const { next, matrix } = findOption(dumps, GROUPS);
    assert.equal(next?.kind, 'unlabelled');
    assert.equal(next.kind === 'unlabelled' && matrix.dumps[next.dump]?.name, 'car 12');
  });

  it('without unlabelled dumps: names the car to look for', () => {
    const found = findOption(
      family(half(5), (lines, group, index) => {
        lines[0]!.fill(0);
        lines[1]!.fill(0);
        lines[2]![0] = group === 0 ? 1 : 0;
        lines[2]![1] = group === 0 && index !== 0 ? 1 : 0;
      }),
      GROUPS,
    );
    const { next } = found;
    assert.equal(next?.kind, 'wanted');
    if (next?.kind !== 'wanted') return;
    assert.deepEqual([where(next.first.place), next.firstValue], ['3.1:0', 1]);
    assert.deepEqual([where(next.second.place), next.secondValue], ['3.2:0', 0]);
  });

  it('of places that fit alike, the first is the one in whose byte nothing else moves', () => {
    const hex = (byte: number) => byte.toString(16).padStart(2, '0');
    const found = findOption(
      cars((group, i) => `@vin DEM0${i}\n1: ${hex(((i * 36) & 0xfe) | group)} 0${group}\n`),
      GROUPS,
    );
    const [best] = found.candidates;
    assert.deepEqual([best?.place.byte, best?.sameAs[0]?.byte], [2, 1]);
  });

  it('of places that move together, the values are those of the groups, whatever a dump in neither holds', () => {
    const held = (bytes: string) => comparedIn(`1: ${bytes}\n`, TWO_BYTES);
    const chosen = [
      { name: 'with', dump: held('01 23'), group: 0 },
      { name: 'with too', dump: held('01 23'), group: 0 },
      { name: 'without', dump: held('00 20'), group: 1 },
    ];
    const asked = ['01 20', '00 23', '01 21', '03 22'].map((bytes, i) => ({
      name: `asked ${i}`,
      dump: held(bytes),
      group: undefined,
    }));
    for (const dumps of [chosen, [...chosen, ...asked], [...asked, ...chosen], [...asked.reverse(), ...chosen]]) {
      const found = findOption(dumps, GROUPS);
      const best = bestOf(found);
      assert.deepEqual([where(best.place), best.values], ['1.1:0', [[1], [0]]]);
      assert.deepEqual(
        alikeCandidates(found, best).map(({ place, values }) => [where(place), values]),
        [['1.2:1-0', [[3], [0]]]],
      );
    }
  });
});

describe('dumps from which no option can be found', () => {
  it('all alike', () => {
    const dumps = half(4).map((group, i) => ({ name: `${i}`, dump: comparedOf([[1, 2, 3]]), group }));
    const found = findOption(dumps, GROUPS);
    assert.deepEqual(found.candidates, []);
    assert.match(remarks(found), /hold the same bytes, sums and volatile places aside/);
  });

  it('each value is as often in the one group as in the other', () => {
    const dumps = half(8).map((group, i) => ({ name: `${i}`, dump: comparedOf([[i % 2, 7 * (i % 2)]]), group }));
    const found = findOption(dumps, GROUPS);
    assert.deepEqual(found.candidates, []);
    assert.match(remarks(found), /No place tells the groups apart/);
  });

  it('one dump only, or one group only', () => {
    const one = { name: 'a', dump: comparedOf([[1]]), group: 0 };
    assert.match(remarks(findOption([one], GROUPS)), /Two groups of dumps are needed/);
    const alone = findOption([one, { ...one, name: 'b', dump: comparedOf([[2]]) }], GROUPS);
    assert.match(remarks(alone), /Two groups/);
    assert.deepEqual([alone.candidates, alone.next], [[], undefined]);
    assert.match(remarks(findOption([], GROUPS)), /Two groups/);
  });

  it('different lines: the larger lot is compared, the others are named', () => {
    const dumps = half(6).map((group, i) => ({ name: `car ${i}`, dump: comparedOf([[group * 4, 2, i]]), group }));
    const other = {
      name: 'stranger',
      dump: comparedOf([
        [4, 2],
        [1, 1],
      ]),
      group: 0,
    };
    const found = findOption([other, ...dumps], GROUPS);
    assert.equal(where(bestOf(found).place), '1.1:2');
    assert.match(remarks(found), /1 dump has other lines than the 12 that were compared, and was left out: stranger/);
  });

  for (const [said, text] of [
    ['copies of one dump', (group: number) => `@vin DEM0${group}\n1: 0${group} 02\n`],
    ['copies without a header', (group: number) => `1: 0${group} 02\n`],
    [
      'dumps with one "@vin", in any letter case',
      (group: number, i: number) => `@vin ${i < 6 ? 'de' : 'DE'}m${group}\n1: 0${group} 0${i % 9}\n`,
    ],
    [
      'dumps with one "@vehicle", however many blanks are in it',
      (group: number, i: number) => `@vehicle DEMO${' '.repeat(1 + (i % 2))}${group}\n1: 0${group} 0${i % 9}\n`,
    ],
  ] as const) {
    it(`${said} are one car in each group, and it is said`, () => {
      const found = findOption(cars(text), GROUPS);
      assert.equal(found.matrix.dumps.length, 2);
      assert.ok(found.candidates.every(({ p }) => p === 1));
      assert.match(remarks(found), /^10 dumps are of cars that are in their group already .* left out: car 1, /);
      assert.match(remarks(found), /Too few dumps/);
      assert.match(
        pairIn(cars(text))
          ?.remarks.map((one) => say(one))
          .join('\n') ?? '',
        /^10 dumps are of cars/,
      );
    });
  }

  for (const header of ['part', 'software', 'module'] as const)
    it(`dumps of more than one "@${header}" are told, and no place of theirs is more than a guess`, () => {
      const all = (of: (group: number) => string) =>
        findOption(
          cars((group, i) => `@vin DEM0${i}\n@${header} ${of(group)}\n1: 0${group} 02\n`),
          GROUPS,
        );
      const [mixed, one] = [all((group) => `A-${group}`), all(() => 'A-1')];
      assert.match(
        remarks(mixed),
        new RegExp(`^car 0 and car \\d+ are of two .*: "@${header}" is "A-0" in the first`, 'm'),
      );
      assert.doesNotMatch(remarks(one), / are of two /);
      const confidence = (search: typeof one) => {
        const [best] = search.candidates;
        assert.ok(best !== undefined && best.q <= 0.05);
        return optionOf(search, best, { id: 'x', title: 'X', words: ['no', 'yes'] }).confidence;
      };
      assert.deepEqual([confidence(mixed), confidence(one)], ['guess', 'likely']);
    });

  it('a further dump of a car that contradicts the best place is told, and no other', () => {
    const all = cars((group, i) => `@vin DEM0${i}\n1: 0${group} 02\n`);
    const again = (group: number, holds: number): LabelledDump => ({
      name: `again ${group}`,
      dump: comparedIn(`@vin DEM0${group === 0 ? 0 : 6}\n1: 0${holds} 02\n`, TWO_BYTES),
      group,
    });
    assert.match(
      remarks(findOption([...all, again(0, 0), again(1, 0)], GROUPS)),
      /^The best place does not fit every dump that was left out: again 1 holds there what marks another group\./m,
    );
    assert.doesNotMatch(remarks(findOption([...all, again(0, 0), again(1, 1)], GROUPS)), /does not fit/);
  });

  it('cars with different "@vin" count each, even with the same bytes', () => {
    const found = findOption(
      cars((group, i) => `@vin DEM0${i}\n1: 0${group} 02\n`),
      GROUPS,
    );
    assert.equal(found.matrix.dumps.length, 12);
  });

  it('one car before and after, and unlabelled dumps, are kept', () => {
    const text = (group: number) => `@vin DEM0\n1: 0${group} 02\n`;
    const [without, fitted] = [comparedIn(text(0), TWO_BYTES), comparedIn(text(1), TWO_BYTES)];
    const asked = { name: 'asked', dump: fitted, group: undefined };
    const found = findOption(
      [{ name: 'a', dump: fitted, group: 0 }, { name: 'b', dump: without, group: 1 }, asked, asked],
      GROUPS,
    );
    assert.equal(found.matrix.dumps.length, 4);
  });

  it('the same bytes in both groups are a contradiction', () => {
    const dumps = half(5).map((group, i) => ({ name: `car ${i}`, dump: comparedOf([[group, 2]]), group }));
    const twin = { name: 'twin', dump: comparedOf([[0, 2]]), group: 1 };
    assert.match(
      remarks(findOption([...dumps, twin], GROUPS)),
      /car 0 and twin hold the same bytes but are in different/,
    );
  });

  it('a dump with a line that cannot be read is named and left out', () => {
    const dumps: LabelledDump[] = half(5).map((group, i) => ({
      name: `car ${i}`,
      dump: comparedOf([[group, 2]]),
      group,
    }));
    const lines = { format: 1, lines: { from: 1, to: 1, data: 2, sum: 0 } };
    dumps.push({ name: 'torn', dump: comparedIn('1: 0G 02\n', lines), group: 0 });
    assert.match(remarks(findOption(dumps, GROUPS)), /1 dump has lines that cannot be read, and was left out: torn/);
  });
});

describe('one pair, before and after', () => {
  const profile = {
    format: 1,
    lines: { from: 1, to: 3, data: 2, sum: 1 },
    lineSum: { method: 'add', over: ['data'] },
    totals: [{ label: 'total', method: 'add', bits: 16, over: ['data'], keep: true }],
  };
  const before = '1: 10 20 30\n2: 00 00 00\n3: 7F 00 7F\ntotal: 00 AF\n';
  const kept = '1: 10 22 32\n2: 00 00 00\n3: 7D 00 7D\ntotal: 00 AF\n';
  const rewritten = '1: 10 22 32\n2: 00 00 00\n3: 7F 00 7F\ntotal: 00 B1\n';
  const roles = (after: string, more: object = {}) => {
    const all = { ...profile, ...more };
    return explainPair(comparedIn(before, all), comparedIn(after, all)).differences.map(
      ({ line, byte, role }) => `${line}.${byte} ${role}`,
    );
  };

  it('a rewritten total: the one data byte that differs is the option', () => {
    assert.deepEqual(roles(rewritten), ['1.2 option']);
  });

  it('two data bytes that differ: neither is the option for sure', () => {
    const two = rewritten.replace(/^(3: )(..)/m, '$1EE');
    assert.notEqual(two, rewritten);
    assert.deepEqual(roles(two), ['1.2 maybe', '3.1 maybe']);
  });

  it('two cars: even a single byte that differs may be anything, and it is said', () => {
    const of = (vehicle: string, text: string) => comparedIn(`@vehicle ${vehicle}\n${text}`, profile);
    const { differences, remarks } = explainPair(of('stock 1', before), of('stock 2', rewritten));
    assert.deepEqual(
      differences.map(({ role }) => role),
      ['maybe'],
    );
    assert.match(remarks.map((one) => say(one)).join(), /two cars/);
    assert.deepEqual(
      explainPair(of('stock 1', before), of('Stock 1 ', rewritten)).differences.map(({ role }) => role),
      ['option'],
    );
  });

  it('a kept total: option and balance cannot be told apart by one pair', () => {
    assert.deepEqual(roles(kept), ['1.2 option-or-balance', '3.1 option-or-balance']);
  });

  it('a kept total and a balance place that the profile names', () => {
    assert.deepEqual(roles(kept, { balance: [{ line: 3, byte: 1 }] }), ['1.2 option', '3.1 balance']);
  });
});

describe('groups by the tags in the headers', () => {
  it('fitted, absent, not said, and said both ways', () => {
    const group = (headers: string) => groupByTag(comparedIn(`${headers}\n1: 00\n`, { format: 1 }), 'tow-bar');
    assert.equal(group('@fitted camera tow-bar'), 0);
    assert.equal(group('@absent tow-bar'), 1);
    assert.equal(group('@fitted tow-bar-cover'), undefined);
    assert.equal(group('@fitted tow-bar\n@absent tow-bar'), undefined);
  });

  it('dumps that say both are named, and count as not labelled', () => {
    const dump = (headers: string) => comparedIn(`${headers}\n1: 00\n`, { format: 1 });
    const { dumps, remarks } = labelledByTag(
      [
        { name: 'a', dump: dump('@fitted tow-bar') },
        { name: 'b', dump: dump('@fitted tow-bar camera\n@absent tow-bar') },
      ],
      'tow-bar',
    );
    assert.deepEqual(
      dumps.map(({ group }) => group),
      [0, undefined],
    );
    assert.deepEqual(
      remarks.map((one) => say(one)),
      ['b says both "@fitted tow-bar" and "@absent tow-bar", so it counts as not labelled. Correct its headers.'],
    );
  });

  it('all equipment that the headers name is counted', () => {
    const dump = (headers: string) => comparedIn(`${headers}\n1: 00\n`, { format: 1 });
    assert.deepEqual(tagCounts([dump('@fitted a b'), dump('@absent b'), dump('@fitted b'), dump('')]), [
      { tag: 'b', fitted: 2, absent: 1 },
      { tag: 'a', fitted: 1, absent: 0 },
    ]);
  });
});
