import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { hex, hexBytes } from '../../../shared-core/src/base/hex.js';
import { say } from '../../../shared-core/src/base/phrase.js';
import { finish } from '../../../shared-core/src/base/steps.js';
import { checkDump } from '../../../shared-core/src/checks/checkDump.js';
import { readRows } from '../../../shared-core/src/format/rows.js';
import { learn, learnSteps } from '../../../shared-core/src/learn/learn.js';
import { learnForm } from '../../../shared-core/src/learn/learnForm/form.js';
import type { LearnCandidate, Learning } from '../../../shared-core/src/learn/learning.js';
import { bind } from '../../../shared-core/src/model/dump.js';
import { readProfile } from '../../../shared-core/src/profile/readProfile.js';
import * as published from '../../outside/published.js';
import { learnLineSums } from '../../support/learnLineSums.js';
import { loaded } from '../../support/loaded.js';
import { numbers } from './dumps.js';
import { type TestRule, testLines } from './families.js';

const RULE: TestRule = {
  name: '8-bit sum over module, label and data',
  spec: { method: 'add', bits: 8, unit: 1, order: 'big', complement: 'none', start: 0n },
  order: 'big',
  over: ['module', 'label', 'data'],
  labelBytes: 1,
  module: 0x06f4,
};

type Write = (label: number, bytes: Uint8Array) => string;
const plain: Write = (label, bytes) => `${label}: ${hexBytes(bytes, ' ')}`;

/** A dump of a rule, with a file sum of 16 bits over all data, low byte first. */
function dump(beginning: number, write: Write = plain, rule = RULE): string {
  const lines = testLines(rule, 18, 6, numbers(beginning));
  const total = lines.reduce((sum, { bytes }) => bytes.slice(0, 6).reduce((all, byte) => all + byte, sum), 0) & 0xffff;
  const text = lines.map(({ label, bytes }) => `${write(label, bytes)}\n`).join('');
  return write === plain ? `${text}total: ${hex(total & 0xff)} ${hex(total >> 8)}\n` : text;
}

const texts = (...all: string[]) => all.map((text, i) => ({ name: `dump ${i + 1}`, text }));
const remarks = ({ remarks: all }: Learning) => all.map((one) => say(one)).join('\n');

function best({ candidates }: Learning): LearnCandidate {
  assert.ok(candidates[0]);
  return candidates[0];
}

/** Opens a text with a learned profile: nothing must be wrong with either. */
function opens(text: string, { profile }: LearnCandidate): void {
  const reading = readProfile(JSON.stringify(profile));
  assert.deepEqual(reading.problems, []);
  const form = learnForm(text);
  assert.ok(form);
  const bound = bind(readRows(text, form.notation), form.notation, reading.profile);
  const problems = checkDump(loaded(bound, { kind: 'read' }, { kind: 'none' }));
  assert.deepEqual(
    problems.map(({ code, message }) => `${code}: ${say(message)}`),
    [],
  );
}

describe('learn from dumps', () => {
  it('lines and total of dump text: the draft opens the same files with no problem', () => {
    const three = texts(dump(1), dump(2), dump(3));
    const candidate = best(learn(three));
    assert.deepEqual([candidate.linesExplained, candidate.lines, candidate.totalExplained], [54, 54, true]);
    assert.deepEqual(candidate.profile.totals, [
      { name: 'file sum', label: 'total', method: 'add', bits: 16, order: 'little', over: ['data'] },
    ]);
    for (const { text } of three) opens(text, candidate);
  });

  it('the draft decides right on a dump that it has not seen', () => {
    const candidate = best(learn(texts(dump(1), dump(2))));
    opens(dump(9), candidate);
    const wrong = dump(9).replace(/^7: ../m, '7: 5C');
    assert.throws(() => opens(wrong, candidate), /line-sum/);
  });

  it('every rule that was found reads back as it was meant', () => {
    for (const rule of [
      {
        ...RULE,
        spec: {
          method: 'crc',
          model: undefined,
          width: 16,
          poly: 0x1ba5n,
          init: 0n,
          refin: true,
          refout: true,
          xorout: 0x77n,
        } as const,
      },
      {
        ...RULE,
        spec: { method: 'xor', bits: 16, order: 'little', start: 0x55aan } as const,
        order: 'little' as const,
        over: ['data'] as const,
      },
      { ...RULE, spec: { method: 'fletcher', bits: 16, order: 'big' } as const },
      {
        ...RULE,
        spec: { method: 'add', bits: 16, unit: 2, order: 'big', complement: 'ones', start: 0n } as const,
        labelBytes: 2,
      },
    ]) {
      const text = dump(5, (label, bytes) => `${label}: ${hexBytes(bytes)}`, rule);
      opens(text, best(learn(texts(text))));
    }
  });

  const forms: readonly (readonly [string, string, Write])[] = [
    [
      'numbers in brackets, sum behind a semicolon',
      '[{label}] {data} ; {sum}',
      (label, bytes) =>
        `[${hex(label, 3).replace(/[A-F]/g, '0')}] ${hexBytes(bytes.slice(0, 6), ' ')} ; ${hexBytes(bytes.slice(6))}`,
    ],
    [
      'hex numbers before one run of digits',
      '{label:hex} {data}',
      (label, bytes) => `${hex(label, 4)} ${hexBytes(bytes)}`,
    ],
    [
      'hex numbers with a colon, which dump text would take for decimal ones and words',
      '{label:hex}: {data}',
      (label, bytes) => `${hex(label)}: ${hexBytes(bytes, ' ')}`,
    ],
    ['letters before the number', 'L{label:hex}={data}', (label, bytes) => `L${hex(label)}=${hexBytes(bytes)}`],
    [
      'a time of day before, words behind',
      '09:{skip} line {label}: {data} ({skip})',
      (label, bytes) =>
        `09:${10 + ((label * 7) % 50)}:${59 - label} line ${label}: ${hexBytes(bytes, ' ')} (${'ok,fine,good'.split(',')[label % 3]})`,
    ],
  ];
  for (const [name, pattern, write] of forms) {
    it(`text of another program: ${name}`, () => {
      // In the first form numbers are decimal, so that the hex digits of the label must not show.
      const decimal: Write = (label, bytes) =>
        write(label, bytes).replace(/^\[\w+\]/, `[${String(label).padStart(3, '0')}]`);
      const text = `Saved by a program\n\n${dump(3, decimal)}end of file\n`;
      const candidate = best(learn(texts(text)));
      assert.deepEqual(candidate.profile.notation, { pattern });
      assert.equal(candidate.linesExplained, 18);
      opens(text, candidate);
    });
  }

  it('a damaged line is called as its dump calls it, not by its number', () => {
    const write: Write = (label, bytes) => `k${hex(label)}=${hexBytes(bytes, ' ')}`;
    const torn = dump(2, write).replace(/^k11=../m, 'k11=5C');
    const learning = learn(texts(dump(1, write), torn, dump(3, write)));
    assert.deepEqual(best(learning).damaged, [{ name: 'dump 2', label: 17, called: 'k11' }]);
    assert.match(remarks(learning), /probably damaged: line k11 of dump 2/);
  });

  it('a damaged line is named, and the total is learned from the sound dumps', () => {
    const torn = dump(2).replace(/^11: ../m, '11: 5C');
    const learning = learn(texts(dump(1), torn, dump(3)));
    assert.deepEqual(best(learning).damaged, [{ name: 'dump 2', label: 11, called: '11' }]);
    assert.equal(best(learning).totalExplained, true);
    assert.match(
      remarks(learning),
      /1 of 54 lines does not follow the rule and is probably damaged: line 11 of dump 2/,
    );
  });

  it('a total that was kept by balancing is to be kept', () => {
    const lines = (a: string, b: string) => `1: 10 ${a} 30\n2: 44 05 16\n3: 7F ${b} 7F\ntotal: 01 BD\n`;
    const candidate = best(learn(texts(lines('20', '00'), lines('1C', '04'), lines('1F', '01'))));
    assert.deepEqual(candidate.profile.totals, [
      { name: 'file sum', label: 'total', method: 'add', bits: 16, over: ['data'], keep: true, confidence: 'guess' },
    ]);
  });
});

describe('dumps from which little can be learned', () => {
  it('dumps of different shapes: the larger lot is learned from, the others are named', () => {
    const short = dump(4).split('\n').slice(0, 9).join('\n');
    const learning = learn(texts(dump(1), short, dump(2)));
    assert.equal(best(learning).lines, 36);
    assert.match(remarks(learning), /1 dump has other lines than the 2 .* left out: dump 2/);
  });

  it('dumps of different shapes: the one that is asked about is learned from, were it the only one', () => {
    const short = dump(4).split('\n').slice(0, 9).join('\n');
    const learning = finish(learnSteps(texts(dump(1), short, dump(2)), 'dump 2'));
    assert.equal(best(learning).lines, 9);
    assert.match(remarks(learning), /2 dumps have other lines than the 1 .* left out: dump 1, dump 3/);
  });

  it('no dump at all, and no text at all', () => {
    for (const text of ['', 'Dear Sir,\nno hex here.\n', '\u0000\uffff\n']) {
      const learning = learn(texts(text));
      assert.deepEqual(learning.candidates, []);
      assert.match(remarks(learning), /No lines of a dump were found/);
    }
    assert.deepEqual(learn([]).candidates, []);
  });

  it('raw bytes as they are shown, called by their addresses: a draft of the addresses, which reads them', () => {
    const next = numbers(31);
    const raw = () =>
      Array.from(
        { length: 8 },
        (_, i) =>
          `0x${hex(16 * i, 4)}: ${hexBytes(
            Uint8Array.from({ length: 16 }, () => next(256)),
            ' ',
          )}\n`,
      ).join('');
    const [one, other] = [raw(), raw()];
    const learning = learn(texts(one, other));
    assert.deepEqual(best(learning).profile.addresses, { from: '0x0', to: '0x7F' });
    assert.deepEqual([best(learning).chance, best(learning).linesExplained], [1, 0]);
    opens(one, best(learning));
    assert.match(remarks(learning), /called by the addresses of their bytes/);
  });

  it('random bytes: no rule, and it is said', () => {
    const next = numbers(8);
    const bytes = () => Array.from({ length: 7 }, () => hex(next(256))).join(' ');
    const learning = learn(texts(Array.from({ length: 20 }, (_, i) => `${i + 1}: ${bytes()}\n`).join('')));
    assert.deepEqual(learning.candidates, []);
    assert.match(remarks(learning), /No rule was found .* The nearest explains \d of 20 lines/);
  });

  it('lines all alike', () => {
    const learning = learn(texts(Array.from({ length: 9 }, (_, i) => `${i + 1}: 00 00 00 00\n`).join('')));
    assert.deepEqual(learning.candidates, []);
    assert.match(remarks(learning), /No rule was found/);
  });
});

describe('published records as unknown text', () => {
  /** Records of a published notation without their marks, as bytes that nobody has explained. */
  const unknown = (records: readonly (readonly string[])[], mark: number) =>
    records.map(([record = ''], label) => ({
      dump: 0,
      label,
      bytes: Uint8Array.from(record.slice(mark).match(/../g) ?? [], (pair) => Number.parseInt(pair, 16)),
    }));

  it("Intel HEX: the two's complement of length, address, type and data (Intel, Hexadecimal Object File Format Specification, 1988)", () => {
    const [rule] = learnLineSums(unknown(published.INTEL_HEX, 1), undefined).rules;
    assert.deepEqual(rule?.spec, { ...RULE.spec, complement: 'twos' });
    assert.deepEqual([rule?.width, rule?.coverage.over, rule?.wrong], [1, ['data'], []]);
  });

  it("S-records: the ones' complement of count, address and data (Motorola, M68000 Family Programmer's Reference Manual, appendix C)", () => {
    const [rule] = learnLineSums(unknown(published.S_RECORDS, 2), undefined).rules;
    assert.deepEqual(rule?.spec, { ...RULE.spec, complement: 'ones' });
    assert.deepEqual([rule?.width, rule?.coverage.over, rule?.wrong], [1, ['data'], []]);
  });

  for (const [name, records, mark, complement] of [
    ["Intel HEX, the two's complement", published.INTEL_HEX, 1, 'twos'],
    ["S-records, the ones' complement", published.S_RECORDS, 2, 'ones'],
  ] as const) {
    it(`numbered lines of another program that hold ${name} (as above): learned exactly, and opened`, () => {
      const lines = records.map(([record = ''], i) => `record ${i + 1} = ${record.slice(mark)}\n`);
      const text = `saved\n${lines.join('')}`;
      const candidate = best(learn(texts(text)));
      assert.deepEqual(candidate.profile.notation, { pattern: 'record {label} = {data}' });
      assert.deepEqual(candidate.profile.lineSum, { method: 'add', bits: 8, complement, over: ['data'] });
      assert.equal(candidate.linesExplained, candidate.lines);
      opens(text, candidate);
    });
  }

  it('a file of Intel HEX (Wikipedia) gives a draft that opens it', () => {
    const text = [
      ':10010000214601360121470136007EFE09D2190140',
      ':100110002146017E17C20001FF5F16002148011928',
      ':10012000194E79234623965778239EDA3F01B2CAA7',
      ':100130003F0156702B5E712B722B732146013421C7',
      ':00000001FF',
      '',
    ].join('\n');
    const { candidates, remarks } = learn(texts(text));
    const [candidate] = candidates;
    assert.ok(candidate);
    // The sums of records are the form's own: they explain nothing of the dump.
    assert.deepEqual([candidate.linesExplained, candidate.chance, remarks.length], [0, 1, 1]);
    assert.equal(candidate.profile.notation, 'intel-hex');
    assert.deepEqual(candidate.profile.addresses, { from: '0x100', to: '0x13F' });
    opens(text, candidate);
  });
});

describe('dumps that show no sum', () => {
  const lines = (...all: readonly (readonly number[])[]) =>
    learn(texts(all.map((bytes, i) => `${i + 1}: ${hexBytes(Uint8Array.from(bytes), ' ')}\n`).join('')));
  const repeated = (count: number, ...bytes: number[]) => Array.from({ length: count }, () => bytes);

  it('lines of zeros are no evidence, and no other line is called damaged', () => {
    const learning = lines([0, 0, 0, 0, 1], [0, 0, 1, 0, 0], ...repeated(10, 0, 0, 0, 0, 0));
    assert.deepEqual(learning.candidates, []);
    assert.doesNotMatch(remarks(learning), /damaged|fits? these lines/);
  });

  it('equal lines of which two hold something else are three different lines, too few for any rule', () => {
    const fill = repeated(4, 0x5a, 0x5a, 0x5a, 0x5a, 0x5a, 0x5a);
    const learning = lines(
      ...fill,
      [0xdd, 0xcc, 0xd7, 0x0c, 0xcc, 0x48],
      ...fill,
      [0x84, 0x0c, 0x31, 0xbd, 0xe8, 0x87],
    );
    assert.deepEqual(learning.candidates, []);
    assert.doesNotMatch(remarks(learning), /damaged/);
  });

  for (const [said, bytes] of [
    ['equal lines', [0x11, 0x22, 0x33, 0x66]],
    ['a block of FF', [0xff, 0xff, 0xff, 0xff]],
    ['equal lines longer than the total', [0x11, 0x22, 0x33, 0x44, 0x55, 0x66]],
  ] as const) {
    it(`${said} cancel out: what is left over is no total`, () => {
      assert.deepEqual(lines(...repeated(6, ...bytes)).candidates, []);
      assert.deepEqual(lines(...repeated(5, ...bytes)).candidates, []);
    });
  }

  it('a block of FF between other lines holds no total of its lines', () => {
    const next = numbers(11);
    const some = () => Array.from({ length: 6 }, () => next(256));
    const { candidates } = lines(some(), some(), some(), ...repeated(6, 255, 255, 255, 255, 255, 255));
    assert.deepEqual(candidates, []);
  });

  it('a counter that a line repeats at its end is a copy, and it is said', () => {
    const learning = lines(...Array.from({ length: 12 }, (_, i) => [i + 1, 0, 0, i + 1]));
    assert.deepEqual(learning.candidates, []);
    assert.match(remarks(learning), /The last byte of each line repeats byte 1: that is no proof of a sum/);
  });

  for (const [said, partner, remark] of [
    ['that is stored twice', (byte: number) => byte, /repeats byte 3/],
    ['with its complement', (byte: number) => 255 - byte, /is the complement of byte 3/],
  ] as const) {
    it(`each byte ${said} is a copy, and it is said`, () => {
      const next = numbers(12);
      const pair = () => {
        const byte = next(256);
        return [byte, partner(byte)];
      };
      const learning = lines(...Array.from({ length: 8 }, () => [...pair(), ...pair()]));
      assert.deepEqual(learning.candidates, []);
      assert.match(remarks(learning), remark);
    });
  }
});

describe('file sums that these dumps do not show', () => {
  /** A dump whose lines have a sum by a rule, with bytes of its own, and lines beside them. */
  const withLines = (rule: TestRule, beginning: number, beside: string) =>
    `${testLines(rule, 16, 6, numbers(beginning))
      .map(({ label, bytes }) => `${plain(label, bytes)}\n`)
      .join('')}${beside}`;
  const lineRule = (spec: TestRule['spec']): TestRule => ({ ...RULE, spec, over: ['data'] });
  const xor16 = lineRule({ method: 'xor', bits: 16, order: 'big', start: 0n });
  const totalsIn = (learning: Learning) => learning.candidates.flatMap(({ profile }) => profile.totals ?? []);

  const twos = lineRule({ method: 'add', bits: 8, unit: 1, order: 'big', complement: 'twos', start: 0n });
  for (const [said, rule, beside] of [
    ['exclusive or, and zeros in a line of their own', xor16, 'total: 00 00\n'],
    ['exclusive or, and any bytes at the end of the last line', xor16, ''],
    ["two's complement, and a zero in a line of its own", twos, 'total: 00\n'],
  ] as const)
    it(`a value that follows from the sums of the lines is none: ${said}`, () => {
      const all = [1, 2, 3].map((car) => withLines(rule, car, beside));
      assert.deepEqual(totalsIn(learn(texts(...all))), []);
    });

  it('a file sum that a dump does not follow makes no draft that says nothing', () => {
    const counter = (car: number) => withLines(RULE, 3, `total: 00 ${hex(0x20 + car)}\n`);
    const learning = learn(texts(counter(0), counter(1), counter(2)));
    assert.deepEqual(totalsIn(learning), []);
    assert.ok(learning.candidates.every(({ chance }) => Number.isFinite(chance)));
    assert.equal(best(learning).linesExplained, 16);
  });

  it('a file sum is a guess until a second dump with another value confirms it', () => {
    assert.deepEqual(totalsIn(learn(texts(dump(1)))), [
      {
        ...{ name: 'file sum', label: 'total', method: 'add', bits: 16, order: 'little', over: ['data'] },
        confidence: 'guess',
      },
    ]);
    assert.deepEqual(totalsIn(learn(texts(dump(1), dump(2)))), [
      { name: 'file sum', label: 'total', method: 'add', bits: 16, order: 'little', over: ['data'] },
    ]);
  });
});

describe('how sure a rule is', () => {
  const sums = (...all: readonly (readonly number[])[]) =>
    learn(texts(all.map((bytes, i) => `${i + 1}: ${hexBytes(Uint8Array.from(bytes), ' ')}\n`).join('')));

  it('a line is not called damaged where the others are too few to make the rule sure', () => {
    const learning = sums([1, 2, 3], [0x10, 0x21, 0x31], [0x42, 4, 0x46], [0x33, 0x9a, 0xcd], [0x55, 0x10, 0x77]);
    for (const candidate of learning.candidates) {
      assert.ok(candidate.chance > 1e-6);
      assert.deepEqual(candidate.damaged, []);
    }
    assert.doesNotMatch(remarks(learning), /probably damaged/);
  });

  it('a rule that more than one line in ten does not follow is undecided, and no line is called damaged', () => {
    const lines = testLines(RULE, 14, 6, numbers(8));
    for (const { bytes } of lines.slice(3, 8)) bytes[6] = (bytes[6] as number) ^ 0x5a;
    const text = lines.map(({ label, bytes }) => `${plain(label, bytes)}\n`).join('');
    const learning = learn(texts(text));
    assert.deepEqual([best(learning).undecided, best(learning).damaged], [true, []]);
    assert.match(remarks(learning), /do not say whether the line is damaged or the rule is wrong/);
  });

  it('lines that differ from a rule in one way follow another one, and are not called damaged', () => {
    const learned = (sumOf: (sum: number, at: number) => number) => {
      const lines = testLines(RULE, 60, 6, numbers(8));
      for (const [at, { bytes }] of lines.entries()) bytes[6] = sumOf(bytes[6] as number, at);
      return learn(texts(lines.map(({ label, bytes }) => `${plain(label, bytes)}\n`).join('')));
    };
    for (const another of [(sum: number) => (sum + 0x11) & 0xff, (sum: number) => sum ^ 0x11]) {
      const learning = learned((sum, at) => (at >= 55 ? another(sum) : sum));
      assert.deepEqual([best(learning).undecided, best(learning).damaged], [true, []]);
      assert.match(remarks(learning), /do not say whether the line is damaged or the rule is wrong/);
    }
    const damaged = learned((sum, at) => (at >= 55 ? (sum + 7 * at * at) & 0xff : sum));
    assert.deepEqual([best(damaged).undecided, best(damaged).damaged.length], [false, 5]);
  });

  it('rules of different widths that all lines follow are told apart by a line', () => {
    // The sums stay below 256, so that the byte before them could be their high byte or data.
    const next = numbers(13);
    const learning = sums(
      ...Array.from({ length: 20 }, () => {
        const bytes = Array.from({ length: 5 }, () => next(50));
        return [...bytes, 0, bytes.reduce((sum, byte) => sum + byte, 0)];
      }),
    );
    assert.ok(learning.candidates.some(({ undecided }) => undecided));
    assert.match(remarks(learning), /other rules? fits? these lines as well\.\nA line 1 with the data .* would tell/);
  });

  it('texts too long for anybody to wait for are refused at once, by their beginning', () => {
    const rows = Array.from({ length: 60_000 }, (_, i) => {
      const bytes = Array.from({ length: 12 }, (_, at) => (i * (at + 3)) & 0xff);
      return `${i + 1}: ${[...bytes, bytes.reduce((sum, byte) => sum + byte, 0) & 0xff].map((byte) => hex(byte)).join(' ')}\n`;
    });
    const { candidates, remarks: said } = learn(texts(rows.join('')));
    assert.deepEqual(candidates, []);
    assert.match(
      said.map((one) => say(one)).join('\n'),
      /too long to work out how their lines are summed: more than 2000000 characters/,
    );
  });

  it('lines of digits without anything between number, data and sum are named, with what to do', () => {
    const lines = testLines(RULE, 12, 6, numbers(21)).map(({ label, bytes }) => hex(label) + hexBytes(bytes));
    const said = learn(texts(`${lines.join('\n')}\n`))
      .remarks.map((one) => say(one))
      .join('\n');
    assert.match(said, /12 lines are hex digits in one run.* Put a colon behind it, such as 01: /);
  });

  for (const [line, wanted] of [
    ['CHECKSUM: 012345', /no rule was found that gives the bytes of line CHECKSUM/],
    ['SUM 12345', /row 15 is not read as data/],
    ['SUM=12345', /row 15 is not read as data/],
    ['Total lines: 14', /row 15 is not read as data/],
  ] as const)
    it(`a total in decimal that cannot be read is named: ${line}`, () => {
      const lines = testLines(RULE, 14, 6, numbers(22)).map(({ label, bytes }) => `${label}: ${hexBytes(bytes, ' ')}`);
      const { candidates, remarks: said } = learn(texts(`${[...lines, line].join('\n')}\n`));
      assert.equal(candidates[0]?.linesExplained, 14);
      assert.match(said.map((one) => say(one)).join('\n'), wanted);
    });
});
