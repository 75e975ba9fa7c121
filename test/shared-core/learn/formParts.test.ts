// How the lines of an unknown text are taken apart: what is a byte, what a label, a remark, a heading or a character.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { hexBytes, say } from '../../../shared-core/src/base/index.js';
import { dumpText } from '../../../shared-core/src/format/dumpText.js';
import { readRows } from '../../../shared-core/src/format/rows.js';
import { addressOfColumn, digitsIn, placeInWords } from '../../../shared-core/src/learn/findOption/placeInWords.js';
import { charactersIn } from '../../../shared-core/src/learn/learnForm/characters.js';
import { cutLine, stylesOf } from '../../../shared-core/src/learn/learnForm/cutLine.js';
import { commonest } from '../../../shared-core/src/learn/learnForm/dumps.js';
import { headingsOf, markOf, mostBytesIn, titlesAmong } from '../../../shared-core/src/learn/learnForm/headings.js';
import { possibleTotals } from '../../../shared-core/src/learn/learnForm/possibleTotals.js';
import { sumAtEndBits } from '../../../shared-core/src/learn/learnSums/frontOrBack.js';
import { numbers } from './dumps.js';

const times = <T>(count: number, line: (i: number) => T) => Array.from({ length: count }, (_, i) => line(i));

describe('the heads of columns', () => {
  it('count up by one from 0 or 1, in hex or decimal, whatever word stands before and characters behind', () => {
    for (const line of [
      'Addr 00 01 02 03',
      'Addr  0 1 2 3 4 5 6 7 8 9 A B',
      'Line: 8 9 10 11',
      '00 01 02 03',
      '01 02 03 04',
      '0 1 2 3',
      '| 00 01 02 03 | ASCII',
      'Offset(h) 00 01 02 03 04 05 06 07 Decoded text',
    ])
      assert.deepEqual(headingsOf([line]), [line], line);
  });

  it('are no lines of data: fewer columns, other numbers, a byte behind them, or a label before', () => {
    for (const line of [
      'Addr 00 01 02',
      '00 01 02',
      '02 03 04 05',
      '00 01 02 04',
      'Addr 00 01 02 03 A0',
      '00 01 02 03 7F',
      '10 00 01 02 03',
      'a word, and nothing else',
      '',
    ])
      assert.deepEqual(headingsOf([line]), [], line);
    assert.deepEqual(
      headingsOf(['Addr 00 01 02 03\r\n', 'x', '  Addr 00 01 02 03 \n']),
      ['Addr 00 01 02 03'],
      'each once',
    );
  });
});

describe('titles among lines', () => {
  it('begin with a word, and what differs from file to file is skipped', () => {
    assert.deepEqual(titlesAmong(['Read 2026-11-27 at 09:12', 'Read 2026-11-28 at 10:15']), ['Read {skip} at {skip}']);
    assert.deepEqual(titlesAmong(['* Module  12AB']), ['* Module {skip}']);
    for (const line of ['12 34 56 78', 'ABCD 12 34 56 78', 'AB CD', 'x1 is here', '{label} 1', 'Read 12 34 56 78'])
      assert.deepEqual(titlesAmong([line]), [], line);
  });

  it('are told from data by how many bytes stand side by side', () => {
    const counts = ['Read 12 34', '12 34 56', '12, 34; 0x56 | 78', '1234 56', '$12 $34', '12 x 34 56', '123', ''];
    assert.deepEqual(counts.map(mostBytesIn), [2, 3, 4, 3, 2, 2, 0, 0]);
    assert.deepEqual(['* Read', '  -- x', 'Read *', '{a}', ''].map(markOf), ['*', '--', '', '', '']);
  });
});

describe('a line that is taken apart', () => {
  const style = (...lines: string[]) => {
    const [first] = stylesOf(lines);
    assert.ok(first);
    return first;
  };
  const cut = (line: string, first = 0) => {
    const found = cutLine(line, style(line), first);
    return found && [found.before.join(''), found.behind.join('')];
  };

  it('has the longest stretch of bytes for its data, and whole words before and behind', () => {
    assert.deepEqual(cut('L01: 12 34 56 78 sum 9A'), ['L01: ', ' sum 9A']);
    assert.deepEqual(cut('12 34 / 56 78 9A'), ['12 34 / ', '']);
    assert.deepEqual(cut('face 12 34 56 done'), ['', ' done']);
    assert.deepEqual(cut('x12 34 56 78y'), ['x12 ', ' 78y']);
    assert.deepEqual(cut('12 34 | 56 78 # note'), ['', ' # note']);
    assert.equal(cut('no hex here, not any'), undefined);
    assert.equal(cut('x'.repeat(5000)), undefined);
    assert.equal(cutLine(`${'12 '.repeat(1400)}`, style('12 34'), 0), undefined);
  });

  it('gives its first groups to the label, as many as are asked for', () => {
    assert.deepEqual(cut('01 12 34 56', 1), ['01 ', '']);
    assert.deepEqual(cut('01 02 34 56', 2), ['01 02 ', '']);
    assert.equal(cut('01', 1), undefined);
    assert.equal(cut('01 02', 2), undefined);
  });

  it('is written in the style of which it has most signs', () => {
    const option = (line: string) => style(...times(3, () => line)).option;
    assert.equal(option('1: 12 34 56'), '');
    assert.equal(option('1: 12\t34\t56'), 'tab');
    assert.equal(option('1: 12,34,56'), ',');
    assert.equal(option('1: 12, 34, 56'), ', ');
    assert.equal(option('1: 12;34;56'), ';');
    assert.equal(option('1: 0x12 0x34 0x56'), '0x');
    assert.equal(option('1: 0x12, 0x34, 0x56'), '0x, ');
    assert.equal(option('1: $12 $34 $56'), '$');
    assert.equal(option('1: "12","34","56"'), '",');
    // A style of which there is no sign is not tried, but for the plain one.
    assert.deepEqual(
      stylesOf(['1: 12 34']).map((one) => one.option),
      [''],
    );
    assert.deepEqual(
      stylesOf(['1: 12 34 56 78', '2, 3']).map((one) => one.option),
      [''],
    );
    assert.deepEqual(
      stylesOf(['no bytes']).map((one) => one.option),
      [''],
    );
  });
});

describe('lines that may hold a total', () => {
  const possible = (...rows: readonly string[]) =>
    possibleTotals(readRows(rows.map((row) => `${row}\n`).join(''), dumpText)).map(
      ({ row, pattern, bytes, isLikely }) => [row, pattern, hexBytes(bytes, ''), isLikely],
    );

  it('have one group of bytes, and are likely by the name of a sum or behind all records', () => {
    assert.deepEqual(possible('1: 01 02', 'Checksum = 0x1234', '2: 03 04', 'crc16 is ABCD'), [
      [1, 'Checksum = 0x{data}', '1234', true],
      [3, 'crc16 is {data}', 'ABCD', true],
    ]);
    assert.deepEqual(possible('note 1234 here', '1: 01 02', 'end 1234'), [
      [0, 'note {data} here', '1234', false],
      [2, 'end {data}', '1234', true],
    ]);
    assert.deepEqual(
      possible('1: 01 02', 'sum AB').map(([row]) => row),
      [1],
      'one byte where it is called so',
    );
    assert.deepEqual(possible('xor: 6B', '1: 01 02', 'xor: 6B', '2: 03 04', '[xor: 0x6C]'), [
      [4, '[xor: 0x{data}]', '6C', true],
    ]);
  });

  it('are none with two groups, with more than eight bytes, marked as comments, or of one byte without a name among the records', () => {
    for (const line of [
      'Checksum 1234 / 5678',
      'Checksum 112233445566778899',
      '# Checksum 1234',
      'page no 02',
      'no bytes',
      `Checksum 1234 ${'x'.repeat(200)}`,
    ])
      assert.deepEqual(possible('1: 01 02', line), [], line);
    assert.deepEqual(possible('1: 01 02', 'end AB', '2: 03 04'), []);
    assert.equal(possible('1: 01 02', 'Checksum 1122334455667788').length, 1);
  });
});

describe('the end of a line at which a sum may be', () => {
  const next = numbers(3);
  const lines = (byteAt: (line: number, at: number) => number) =>
    times(24, (line) => ({ dump: 0, label: line, bytes: Uint8Array.from({ length: 6 }, (_, at) => byteAt(line, at)) }));

  it('is the one whose values come again least', () => {
    assert.ok(sumAtEndBits(lines((line, at) => (at === 5 ? next(256) : at === 0 ? line % 3 : 7))) > 10);
    assert.ok(sumAtEndBits(lines((line, at) => (at === 0 ? next(256) : at === 5 ? line % 3 : 7))) < -10);
    assert.ok(Math.abs(sumAtEndBits(lines((line, at) => (at === 0 || at === 5 ? (37 * line) & 0xff : 7)))) < 1e-9);
  });

  it('is undecided where both are bytes without a pattern, whatever comes again in them by chance', () => {
    for (let seed = 1; seed <= 100; seed++) {
      const next = numbers(seed);
      assert.ok(Math.abs(sumAtEndBits(lines(() => next(256)))) < 2, `seed ${seed}`);
    }
  });
});

describe('characters at the ends of lines', () => {
  const text = 'COUNTERSUM OF A FEW LINES';
  const line = (i: number) => {
    const bytes = Buffer.from(text.slice(i, i + 4));
    return {
      hex: bytes
        .toString('hex')
        .replace(/..(?!$)/g, '$& ')
        .toUpperCase(),
      shown: bytes.toString('latin1'),
    };
  };
  const lines = (open: string, close: string, count = 6) =>
    times(count, (i) => `${i}: ${line(4 * (i % 5)).hex}${open}${line(4 * (i % 5)).shown}${close}`);

  it('are cut off whatever encloses them, and each line is as it was without them', () => {
    for (const [open, close] of [
      ['  |', '|'],
      ['  ', ''],
      [' [', ']'],
      [' >', '<'],
      [' "', '"'],
      [' ; ', ''],
    ] as const) {
      const found = charactersIn(lines(open, close));
      assert.deepEqual(
        found?.lines.map((one) => one.trimEnd()),
        times(6, (i) => `${i}: ${line(4 * (i % 5)).hex}`),
        open,
      );
    }
    assert.deepEqual(charactersIn(lines('  |', '|'))?.enclosed, { open: '|', close: '|' });
  });

  it('are none of a single line, and none where most lines have others', () => {
    assert.equal(charactersIn(lines('  |', '|', 1)), undefined);
    const other = times(6, (i) => `${i}: ${line(i).hex}  |${i < 3 ? line(i).shown : 'else'}|`);
    assert.equal(charactersIn(other), undefined);
    const most = times(6, (i) => `${i}: ${line(i).hex}  |${i < 4 ? line(i).shown : 'else'}|`);
    assert.deepEqual(charactersIn(most)?.lines.slice(3, 5), [`3: ${line(3).hex}`, `4: ${line(4).hex}  |else|`]);
    assert.equal(charactersIn(times(6, (i) => `${i}: ${line(i).hex}`)), undefined);
  });
});

describe('what is commonest', () => {
  it('is what is there most often, the first of several', () => {
    assert.equal(commonest([1, 2, 2, 3]), 2);
    assert.equal(commonest([3, 1, 1, 3]), 3);
    assert.equal(commonest([]), undefined);
  });
});

describe('a place that was found', () => {
  const whole = { high: 7, low: 0 };
  const PLACES: readonly (readonly [count: 1 | 2, high: number, low: number, ofLines: string, ofImage: string])[] = [
    [1, 7, 0, 'line 4, byte 3', 'address 0012'],
    [1, 7, 4, 'line 4, byte 3, bits 7-4', 'address 0012, bits 7-4'],
    [1, 6, 0, 'line 4, byte 3, bits 6-0', 'address 0012, bits 6-0'],
    [1, 7, 1, 'line 4, byte 3, bits 7-1', 'address 0012, bits 7-1'],
    [1, 2, 2, 'line 4, byte 3, bit 2', 'address 0012, bit 2'],
    [2, 7, 0, 'line 4, bytes 3-4', 'addresses 0012-0013'],
  ];
  it('is named by its line, or by its address in an image, whose columns begin at that of the record', () => {
    for (const [count, high, low, ofLines, ofImage] of PLACES) {
      const bits = { high, low };
      assert.equal(say(placeInWords({ column: 0, line: 4, byte: 3, count, bits })), ofLines);
      assert.equal(say(placeInWords({ column: 0, line: 0x10, byte: 3, count, bits }, true)), ofImage);
    }
    assert.equal(addressOfColumn({ line: 0x10, byte: 1 }), 0x10);
  });

  it('has values of as many digits as it has room for', () => {
    const digits = (count: 1 | 2, bits: { high: number; low: number }) =>
      digitsIn({ column: 0, line: 1, byte: 1, count, bits }, 5);
    assert.deepEqual(
      [
        digits(1, whole),
        digits(2, whole),
        digits(1, { high: 3, low: 0 }),
        digits(1, { high: 4, low: 0 }),
        digits(1, { high: 2, low: 2 }),
      ],
      ['05', '0005', '5', '05', '5'],
    );
  });
});
