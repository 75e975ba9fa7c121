import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { hex, hexBytes } from '../../../shared-core/src/base/hex.js';
import { say } from '../../../shared-core/src/base/phrase.js';
import { checkDump } from '../../../shared-core/src/checks/checkDump.js';
import type { DraftProfile } from '../../../shared-core/src/learn/draftProfile.js';
import { learn } from '../../../shared-core/src/learn/learn.js';
import { bindText } from '../../../shared-core/src/model/dump.js';
import { readProfile } from '../../../shared-core/src/profile/readProfile.js';
import { loaded } from '../../support/loaded.js';
import { numbers } from './dumps.js';

interface Line {
  readonly i: number;
  readonly data: readonly number[];
  /** The sum of eight bits over the data. */
  readonly sum: number;
}

const text = (bytes: readonly number[], between = ' ') => hexBytes(Uint8Array.from(bytes), between);
const added = (bytes: readonly number[]) => bytes.reduce((sum, byte) => sum + byte, 0);
const shown = (bytes: readonly number[]) =>
  bytes.map((byte) => (byte >= 0x20 && byte < 0x7f ? String.fromCharCode(byte) : '.')).join('');

/** Twenty lines of six bytes, most of them characters. */
function lines(write: (line: Line) => string | readonly string[], beginning = 21): string {
  const next = numbers(beginning);
  const all = Array.from({ length: 20 }, (_, i) => {
    const data = Array.from({ length: 6 }, () => (next(3) === 0 ? next(256) : 0x30 + next(64)));
    return write({ i, data, sum: added(data) & 0xff });
  });
  return `${all.flat().join('\n')}\n`;
}

/** What a draft says, where the tests look at parts of it. */
type Loose = Omit<DraftProfile, 'notation' | 'lineSum'> & {
  readonly notation?: { readonly pattern: string; readonly headings?: readonly string[] };
  readonly lineSum?: {
    readonly over?: readonly string[];
    readonly data?: string;
    readonly sumAt?: string;
    readonly confidence?: string;
  };
};

/** Learns from a text; the draft must read it with no problem. */
function learned(dump: string) {
  const { candidates, remarks } = learn([{ name: 'dump.txt', text: dump }]);
  const [best] = candidates;
  assert.ok(best, remarks.map((one) => say(one)).join('\n'));
  const reading = readProfile(JSON.stringify(best.profile));
  assert.deepEqual(reading.problems, []);
  const problems = checkDump(loaded(bindText('dump.txt', dump, reading.profile), { kind: 'read' }));
  return {
    profile: best.profile as Loose,
    best,
    problems: problems.map(({ row, code }) => `${row + 1} ${code}`),
    remarks: remarks.map((one) => say(one)),
  };
}

const reads = (dump: string) => {
  const { profile, problems } = learned(dump);
  assert.deepEqual(problems, []);
  return profile;
};

describe('texts that programs save are learned', () => {
  it('numbers of several parts, of which the sum covers some', () => {
    const profile = reads(
      lines(
        ({ i, data, sum }) => `${3 + Math.floor(i / 12)}-${hex(i % 12)}: ${text([...data, (sum + (i % 12)) & 0xff])}`,
      ),
    );
    assert.deepEqual(profile.notation, { pattern: '{label}-{label:hex}: {data}' });
    assert.deepEqual(profile.lineSum?.over, ['label.2', 'data']);
    assert.deepEqual(profile.lines, [
      { from: '3-0', to: '3-11', data: 6, sum: 1 },
      { from: '4-0', to: '4-7', data: 6, sum: 1 },
    ]);
  });

  it('numbers of three parts, and stretches of different lengths', () => {
    const profile = reads(
      lines(({ i, data, sum }) => {
        const part = data.slice(0, i < 10 ? 6 : 4);
        const label = `6F4/${String(3 + Math.floor(i / 10)).padStart(2, '0')}/${hex(i % 10)}`;
        return `${label} ${text([...part, (i < 10 ? sum : added(part)) & 0xff])}`;
      }),
    );
    assert.match(String(profile.notation?.pattern), /^\{label:hex\}\/\{label(:hex)?\}\/\{label(:hex)?\} \{data\}$/);
    assert.deepEqual(profile.lines, [
      { from: '1780-3-0', to: '1780-3-9', data: 6, sum: 1 },
      { from: '1780-4-0', to: '1780-4-9', data: 4, sum: 1 },
    ]);
  });

  it('numbers of several parts with letters before them, of which the sum covers some', () => {
    const block = (i: number) => 1 + Math.floor(i / 8);
    const row = (i: number) => String(1 + (i % 8)).padStart(2, '0');
    for (const [pattern, label, over, covered] of [
      [
        'B{label}/R{label}: {data}',
        (i: number) => `B${block(i)}/R${row(i)}:`,
        ['label.2', 'data'],
        (i: number) => 1 + (i % 8),
      ],
      ['B{label}/R{label}: {data}', (i: number) => `B${block(i)}/R${row(i)}:`, ['label.1', 'data'], block],
      ['Blk{label}-{label} {data}', (i: number) => `Blk${block(i)}-${row(i)}`, ['data'], () => 0],
      [
        'S{label} L{label} = {data}',
        (i: number) => `S${block(i)} L${row(i)} =`,
        ['label', 'data'],
        (i: number) => block(i) + 1 + (i % 8),
      ],
    ] as const) {
      const profile = reads(lines(({ i, data, sum }) => `${label(i)} ${text([...data, (sum + covered(i)) & 0xff])}`));
      assert.deepEqual(profile.notation, { pattern });
      assert.deepEqual(profile.lineSum?.over, over, pattern);
      assert.deepEqual(profile.lines, [
        { from: '1-1', to: '1-8', data: 6, sum: 1 },
        { from: '2-1', to: '2-8', data: 6, sum: 1 },
        { from: '3-1', to: '3-4', data: 6, sum: 1 },
      ]);
    }
  });

  it('the sum before the data, in brackets or not', () => {
    assert.deepEqual(reads(lines(({ i, data, sum }) => `${hex(i)} [${hex(sum)}] ${text(data)}`)).notation, {
      pattern: '{label:hex} [{sum}] {data}',
    });
    const profile = reads(lines(({ i, data, sum }) => `${i}: ${hex(sum)} ${text(data)}`));
    assert.equal(profile.lineSum?.sumAt, 'front');
    assert.equal(profile.notation, undefined);
  });

  it('first or last bytes that the sum does not cover', () => {
    const first = reads(lines(({ i, data }) => `${i}: ${text([...data, added(data.slice(1)) & 0xff])}`));
    assert.equal(first.lineSum?.data, '2-end');
    const last = reads(lines(({ i, data }) => `${i}: ${text([...data, added(data.slice(0, -2)) & 0xff])}`));
    assert.equal(last.lineSum?.data, '1-end-2');
  });

  it('characters at the end of the line', () => {
    const bars = reads(lines(({ i, data, sum }) => `${hex(i)}: ${text([...data, sum])}  |${shown(data)}|`));
    assert.deepEqual(bars.notation, { pattern: '{label:hex}: {data} |{characters}|' });
    const blanks = reads(lines(({ i, data, sum }) => `${hex(i)}: ${text([...data, sum])}  ${shown([...data, sum])}`));
    assert.deepEqual(blanks.notation, { pattern: '{label:hex}: {data} {characters}' });
  });

  it('bytes between commas, semicolons and tabs, with or without 0x', () => {
    for (const [pattern, mark, prefix] of [
      ['{label:hex},{data:,}', ',', ''],
      ['{label:hex};{data:;}', ';', ''],
      ['{label:hex}\t{data:tab}', '\t', ''],
      ['{label:hex},{data:0x,}', ',', '0x'],
    ] as const) {
      const profile = reads(
        lines(({ i, data, sum }) => [hex(i), ...[...data, sum].map((byte) => prefix + hex(byte))].join(mark)),
      );
      assert.deepEqual(profile.notation, { pattern });
    }
  });

  it('names before the bytes', () => {
    assert.deepEqual(reads(`[Memory]\n${lines(({ i, data, sum }) => `D${i}=${text([...data, sum], ' ')}`)}`).notation, {
      pattern: 'D{label}={data}',
    });
    assert.deepEqual(reads(lines(({ i, data, sum }) => `row.${i} = ${text([...data, sum])}`)).notation, {
      pattern: 'row.{label} = {data}',
    });
  });

  it('numbers that rise by a step, or not evenly', () => {
    const even = reads(lines(({ i, data, sum }) => `${hex(i * 16, 4)}: ${text([...data, sum])}`));
    assert.deepEqual(even.lines, { from: 0, to: 304, step: 16, data: 6, sum: 1 });
    // No letter shows that these numbers are hex, and their steps do.
    const bare = reads(
      lines(({ i, data, sum }) => `${hex(i * 8, 4)}: ${text([...data, (sum + i * 8) & 0xff])}`)
        .split('\n')
        .filter((line) => !/^\d*[A-F]/.test(line))
        .join('\n'),
    );
    assert.deepEqual(bare.notation, { pattern: '{label:hex}: {data}' });
    const uneven = reads(lines(({ i, data, sum }) => `${i + 5 * Math.floor(i / 8)}: ${text([...data, sum])}`));
    assert.deepEqual(uneven.lines, [
      { from: 0, to: 7, data: 6, sum: 1 },
      { from: 13, to: 20, data: 6, sum: 1 },
      { from: 26, to: 29, data: 6, sum: 1 },
    ]);
  });

  it('a total in a line of its own', () => {
    let total = 0;
    const some = lines(({ i, data, sum }) => {
      total += added(data);
      return `${hex(i)} > ${text([...data, sum])}`;
    });
    const { profile, problems, best } = learned(`${some}Checksum = ${hex(total & 0xffff, 4)} (all lines)\n`);
    assert.deepEqual(problems, []);
    assert.equal(best.totalExplained, true);
    assert.deepEqual(profile.totals?.[0], {
      name: 'file sum',
      label: 'total',
      pattern: 'Checksum = {data} (all lines)',
      method: 'add',
      bits: 16,
      over: ['data'],
      confidence: 'guess',
    });
  });

  it('titles and heads of columns between the lines, which are named', () => {
    const { profile, problems, remarks } = learned(
      lines(({ i, data, sum }) => [
        ...(i % 8 === 0 ? [`Printed 2026-03-04 12:44:1${i}`, 'Addr 00 01 02 03 04 05'] : []),
        `${hex(i)}   ${text([...data, sum])}`,
      ]),
    );
    assert.deepEqual(problems, []);
    assert.deepEqual(profile.notation?.headings, ['Addr 00 01 02 03 04 05', 'Printed {skip}']);
    assert.deepEqual(remarks, ['dump.txt: not read as data, though they hold hex digits: rows 1, 2, 11, 12, 21, 22.']);
  });
});

describe('a heading over the lines', () => {
  const dump = (heading: string, beginning: number, footer = '') =>
    `${heading}\n\n${lines(({ i, data, sum }) => `L${String(i + 1).padStart(2, '0')}  ${text(data)}  ${hex(sum)}`, beginning)}${footer}`;
  const problemsOf = (draft: Loose, dumpOf: string) =>
    checkDump(loaded(bindText('dump.txt', dumpOf, readProfile(JSON.stringify(draft)).profile), { kind: 'read' })).map(
      ({ row, code }) => `${row + 1} ${code}`,
    );

  it('goes into the draft without what differs, so that the next reading with such a heading is free of it too', () => {
    const { profile, problems, remarks } = learned(dump('Door module  stock 77  read 2026-11-20 10:15', 21));
    assert.deepEqual(profile.notation?.headings, ['Door module stock {skip} read {skip}']);
    assert.deepEqual(problems, []);
    assert.deepEqual(problemsOf(profile, dump('Door module  stock 81  read 2026-11-26 09:02', 34)), []);
    assert.ok(remarks.includes('dump.txt: row 1 is not read as data, though it holds hex digits.'), remarks.join('\n'));
  });

  it('never makes a heading of a line of the dump that lost digits', () => {
    const { profile } = learned(dump('Door module  stock 77  read 2026-11-20 10:15', 21));
    for (const damage of [
      (line: string) => line.replace('L07', 'L0'),
      (line: string) => line.replace('L07  ', ''),
      (line: string) => line.replace('L07', 'Line'),
      (line: string) => line.slice(0, 9),
      (line: string) => `Door module stock ${line}`,
    ]) {
      const spoiled = dump('Door module  stock 81  read 2026-11-26 09:02', 34)
        .split('\n')
        .map((line) => (line.startsWith('L07') ? damage(line) : line))
        .join('\n');
      assert.notDeepEqual(problemsOf(profile, spoiled), [], spoiled.split('\n')[8]);
    }
  });

  it('goes into it between the lines as well, where headings begin with a mark that no line begins with', () => {
    const marked = (first: number) => {
      const all = lines(
        ({ i, data, sum }) => [
          ...(i % 5 === 0 ? [`* Block ${i / 5 + first} of 4: 5 rows, base 0${i}`] : []),
          `${1 + Math.floor(i / 5)}-0${1 + (i % 5)} | ${text(data)} | ${hex(sum)}`,
        ],
        first,
      );
      return `* Carrier\n* Read 2026-11-1${first} 14:07 at 12.4 V\n* Part 71-0448-C2  HW 0C SW 1207\n${all}* End of list 3A\n`;
    };
    const { profile, problems, best } = learned(marked(7));
    assert.deepEqual(profile.notation?.headings, [
      '* Read {skip} at {skip} V',
      '* Part {skip} HW {skip} SW {skip}',
      '* Block {skip} of {skip} rows, base {skip}',
      '* End of list {skip}',
    ]);
    assert.deepEqual([problems, best.unread, best.unmarked, best.linesExplained], [[], [], [], 20]);
    assert.deepEqual(problemsOf(profile, marked(8)), []);
    // A line of the dump behind such a mark is missing, and is no heading.
    const spoiled = marked(8).replace('\n2-03', '\n* 2-03');
    assert.deepEqual(
      problemsOf(profile, spoiled).filter((one) => one.endsWith('text-unreadable')),
      ['13 text-unreadable'],
    );
  });

  it('is of each dump that was learned from', () => {
    const [first, second] = [dump('Door module  read 2026-11-20', 21), dump('Window lift 0C 12', 34)];
    const [best] = learn([
      { name: 'a.txt', text: first },
      { name: 'b.txt', text: second },
    ]).candidates;
    assert.deepEqual((best?.profile as Loose | undefined)?.notation?.headings, [
      'Door module read {skip}',
      'Window lift {skip}',
    ]);
    assert.deepEqual(best?.unmarked, []);
  });

  it('is none between the lines, where a sum may stand, or where it begins with no word', () => {
    for (const heading of ['2026-11-20 10:15 door', 'Sum over all 304C', 'Ada 20 15 is new']) {
      const { profile } = learned(dump(heading, 21));
      assert.equal(profile.notation?.headings, undefined, heading);
    }
    const behind = learned(dump('Door module', 21, 'Door 304C\n'));
    assert.equal(behind.profile.notation?.headings, undefined);
    const between = dump('Door module', 21).replace('\nL07', '\nRight side 20 11\nL07');
    assert.deepEqual(learned(between).problems, ['9 line-not-read']);
  });

  it('is never the first line with a damaged label, which is not read', () => {
    const colon = ({ i, data, sum }: Line) => `${hex(8 * i, 4)}: ${text([...data, sum])}`;
    for (const damage of [
      (line: string) => line.replace('0000:', 'Addr:'),
      (line: string) => line.replace('0000:', 'Offs 0000:'),
      (line: string) => line.replace('0000:', 'OOOO').replace(/ ..$/, ' 4'),
      (line: string) => `Read ${line}`,
    ]) {
      const [first = '', ...others] = lines(colon).split('\n');
      const { profile, best, problems } = learned([damage(first), ...others].join('\n'));
      assert.equal(profile.notation?.headings, undefined, damage(first));
      assert.equal(best.linesExplained, 19);
      assert.deepEqual(best.unread, [{ name: 'dump.txt', row: 1 }]);
      assert.match(problems[0] ?? '', /^1 (?:line-not-read|text-unreadable)$/);
    }
  });

  it('keeps nobody from learning the lines, nor do other lines that are no data', () => {
    const eight = (write: (line: Line) => string) => lines(write).split('\n').slice(0, 8);
    const colon = eight(({ i, data, sum }) => `${hex(8 * i, 4)}: ${text([...data, sum])}`);
    const lettered = eight(({ i, data, sum }) => `L${hex(8 * i, 4)} ${text([...data, sum])}`);
    const head = 'Addr  00 01 02 03 04 05';
    for (const dumpOf of [
      ['Block BE EF 10', head, ...colon.slice(0, 4), 'Block BE EF 11', ...colon.slice(4)],
      [head, ...colon.slice(0, 4), 'Block 56 79 1A 38 43 20 C4', ...colon.slice(4)],
      ['Checksum 304C', ...lettered],
      ['Checksum 304C', head, ...colon],
    ]) {
      const { candidates, remarks } = learn([{ name: 'dump.txt', text: `${dumpOf.join('\n')}\n` }]);
      const said = `${dumpOf[0]}: ${remarks.map((one) => say(one)).join('\n')}`;
      const [best] = candidates;
      const lineSum = (best?.profile as Loose | undefined)?.lineSum;
      assert.deepEqual([best?.linesExplained, lineSum?.over], [8, ['data']], said);
    }
  });
});

describe('lines that cannot be read', () => {
  const damaged = (write: (line: Line) => string) =>
    lines(write)
      .split('\n')
      .map((line, row) => {
        // A digit lost, a byte lost, the end lost.
        if (row === 4) return line.replace(/.(\W..)$/, '$1');
        if (row === 8) return line.replace(/..\W(..)$/, '$1');
        return row === 12 ? line.slice(0, -7) : line;
      })
      .join('\n');

  for (const [name, write] of [
    ['dump text', ({ i, data, sum }: Line) => `${i}: ${text([...data, sum])}`],
    ['a pattern', ({ i, data, sum }: Line) => `${hex(i)} > ${text([...data, sum])}`],
    ['commas', ({ i, data, sum }: Line) => `${hex(i)},${text([...data, sum], ',')}`],
    ['two numbers', ({ i, data, sum }: Line) => `${Math.floor(i / 5)}.${i % 5} ${text([...data, sum])}`],
  ] as const) {
    it(`of ${name} are counted and named, and the draft wants them`, () => {
      const { best, remarks, problems } = learned(damaged(write));
      assert.deepEqual(
        best.unread.map(({ row }) => row),
        [5, 9, 13],
      );
      assert.ok(
        remarks.includes('dump.txt: 17 lines read, 3 not read: 5, 9, 13 (rows of the file).'),
        remarks.join('\n'),
      );
      for (const row of [5, 9, 13])
        assert.ok(
          problems.some((problem) => problem.startsWith(`${row} `)),
          problems.join(),
        );
    });
  }

  it('a zero that is missing does not make a line of another length, though its sum is right', () => {
    const zero = lines(({ i, data, sum }) =>
      i === 7
        ? `${i}: ${text([...data.slice(0, 5), added(data.slice(0, 5)) & 0xff])}`
        : `${i}: ${text([...data, sum])}`,
    );
    const { best, problems } = learned(zero);
    assert.deepEqual(
      best.unread.map(({ row }) => row),
      [8],
    );
    assert.deepEqual(problems, ['8 line-length']);
  });

  it('a sum that does not show which byte it is: the first could be it as well, and it is said', () => {
    const { remarks, best } = learned(lines(({ i, data, sum }) => `${i}: ${text([...data, -sum & 0xff])}`));
    assert.deepEqual([best.undecided, best.eitherEnd], [false, true]);
    assert.ok(
      remarks.some((remark) =>
        remark.startsWith('Two bytes of each line may be its sum, as the rule fits both: the last one'),
      ),
    );
  });

  it('a first byte that is not covered and always the same: a constant may stand for it as well, and it is undecided', () => {
    for (const sum of [added, (bytes: readonly number[]) => bytes.reduce((all, byte) => all ^ byte, 0)]) {
      const dump = lines(({ i, data }) => `${i + 1}: 5A ${text(data)} ${hex(sum(data) & 0xff)}`);
      const { profile, remarks } = learned(dump);
      assert.deepEqual([profile.lineSum?.data, profile.lineSum?.confidence], ['2-end', 'guess']);
      assert.ok(remarks.includes('1 other rule fits these lines as well.'), remarks.join('\n'));
    }
    // A sum without any constant is the plainest there is: nothing is in doubt.
    const covered = lines(({ i, data }) => `${i + 1}: 5A ${text(data)} ${hex((0x5a + added(data)) & 0xff)}`);
    const { profile, remarks } = learned(covered);
    assert.deepEqual([profile.lineSum?.data, profile.lineSum?.confidence], [undefined, undefined]);
    assert.deepEqual(remarks, []);
  });

  it('a first byte that is not covered and nearly always the same: no line is damaged, and one alone leaves it undecided', () => {
    const seldom = (...rows: readonly number[]) =>
      lines(({ i, data, sum }) => `${i}: ${text([rows.includes(i) ? 0x41 + i : 0xff, ...data, (sum + 8) & 0xff])}`);
    const { best, profile, problems, remarks } = learned(seldom(4, 11));
    assert.deepEqual([profile.lineSum?.data, problems, best.damaged], ['2-end', [], []]);
    assert.ok(!remarks.some((remark) => remark.includes('damaged')), remarks.join('\n'));
    const one = learned(seldom(4));
    assert.deepEqual([one.best.undecided || one.profile.lineSum?.confidence === 'guess', one.best.damaged], [true, []]);
    assert.ok(
      one.remarks.some((remark) => remark.startsWith('1 other rule fits')),
      one.remarks.join('\n'),
    );
  });

  it('a sum that is set apart is that one, in front and behind, also where any byte of a line could be it', () => {
    const folded = (data: readonly number[]) => data.reduce((all, byte) => all ^ byte, 0x5a);
    const apart = [
      lines(({ i, data }) => `${text([folded(data)])} [${i}] ${text(data)}`),
      lines(({ i, data }) => `[${i}] ${text(data)} ; ${text([folded(data)])}`),
    ];
    for (const dump of apart) {
      const { profile, problems, remarks } = learned(dump);
      assert.match(profile.notation?.pattern ?? '', /\{sum\}/);
      assert.deepEqual(problems, []);
      assert.ok(!remarks.some((remark) => remark.startsWith('Two bytes of each line')), remarks.join('\n'));
    }
  });
});
