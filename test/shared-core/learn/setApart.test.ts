// Lines that set one byte apart show which of two bytes is their sum; and a rule that leaves many lines is no rival of one that leaves none.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/phrase.js';
import { dumpText } from '../../../shared-core/src/format/dumpText.js';
import { readRows } from '../../../shared-core/src/format/rows.js';
import { learn } from '../../../shared-core/src/learn/learn.js';
import { endSetApart } from '../../../shared-core/src/learn/learnForm/byteApart.js';
import { numbers } from './dumps.js';

const hex = (byte: number) => byte.toString(16).toUpperCase().padStart(2, '0');
const inHex = (bytes: readonly number[]) => bytes.map(hex).join(' ');

interface Line {
  readonly block: number;
  readonly place: number;
  readonly data: readonly number[];
  readonly sum: number;
}

/** Two dumps of eleven lines in two blocks, whose sums are exclusive or with both of their numbers. */
function dumps(
  write: (line: Line) => string,
  first: (next: (below: number) => number) => number = (next) => next(256),
) {
  return [7, 8].map((seed) => {
    const next = numbers(seed);
    const lines = Array.from({ length: 11 }, (_, i): Line => {
      const [block, place] = i < 6 ? [1, i + 1] : [2, i - 5];
      const data = [first(next), ...Array.from({ length: 5 }, () => (next(3) === 0 ? 0 : next(256)))];
      return { block, place, data, sum: data.reduce((all, byte) => all ^ byte, 0x3c ^ block ^ place) };
    });
    return { name: `${seed}.txt`, text: `; panel\n${lines.map(write).join('\n')}\n` };
  });
}

function learned(texts: readonly { readonly name: string; readonly text: string }[]) {
  const { candidates, remarks } = learn(texts);
  const [best] = candidates;
  assert.ok(best);
  const sum = best.profile.lineSum as { readonly sumAt?: string } | undefined;
  return { candidates, best, sumAt: sum?.sumAt ?? 'back', remarks: remarks.map((remark) => say(remark)) };
}

describe('a byte that lines set apart', () => {
  const label = ({ block, place }: Line) => `B${block}/R${hex(place)}:`;

  it('is the sum at the end where it is there, and no other byte is in doubt', () => {
    for (const sign of ['|', '-', '*']) {
      const { best, sumAt, remarks } = learned(
        dumps((line) => `${label(line)} ${inHex(line.data)} ${sign} ${hex(line.sum)}`),
      );
      assert.deepEqual([best.linesExplained, best.eitherEnd, best.undecided, sumAt], [22, false, false, 'back'], sign);
      assert.deepEqual(remarks, [], sign);
    }
    const plain = learned(dumps((line) => `${label(line)} ${inHex(line.data)} ${hex(line.sum)}`));
    assert.ok(plain.best.eitherEnd);
  });

  it('is the sum at the front where it is there', () => {
    const { best, sumAt, remarks } = learned(dumps((line) => `${label(line)} ${hex(line.sum)} | ${inHex(line.data)}`));
    assert.deepEqual([best.linesExplained, best.eitherEnd, best.undecided, sumAt], [22, false, false, 'front']);
    assert.deepEqual(remarks, []);
  });

  it('shows nothing where more than one is, or signs are between others too', () => {
    for (const write of [
      (line: Line) => `${label(line)} ${inHex(line.data.slice(0, 3))} | ${inHex(line.data.slice(3))} ${hex(line.sum)}`,
      (line: Line) => `${label(line)} ${inHex(line.data).replace(/ /g, ',')},${hex(line.sum)}`,
    ])
      assert.ok(learned(dumps(write)).best.eitherEnd);
  });

  it('is one of nine lines in ten, at one end alone', () => {
    const shown = (...lines: readonly string[]) =>
      endSetApart([readRows(lines.map((line, i) => `${i + 1}: ${line}\n`).join(''), dumpText)], dumpText);
    assert.equal(shown('01 02 03 | 04', '01 02 | 03'), 'back');
    assert.equal(shown('01 | 02 03 04', '01 | 02 03'), 'front');
    assert.equal(shown('01 | 02 03 | 04'), undefined);
    assert.equal(shown('01 02 03   04'), undefined);
    assert.equal(shown('01 | 02', 'no line'), undefined);
    const nine = Array<string>(9).fill('01 02 | 03');
    assert.equal(shown(...nine, '01 02 03'), 'back');
    assert.equal(shown(...nine, '01 02 03', '01 02 03'), undefined);
  });

  it('is in doubt where the bytes themselves show that it is the other', () => {
    const same = (next: (below: number) => number) => (next(2) === 0 ? next(256) : 0x40);
    const back = learned(
      dumps((line) => `${label(line)} ${hex(line.sum)} ${inHex(line.data.slice(1))} | ${hex(line.data[0] ?? 0)}`, same),
    );
    assert.deepEqual([back.candidates.length, back.candidates.map(({ undecided }) => undecided)], [2, [false, true]]);
    const constant = learned(
      dumps(
        (line) => `${label(line)} ${hex(line.data[0] ?? 0)} | ${inHex(line.data.slice(1))} ${hex(line.sum)}`,
        (next) => (next(5) === 0 ? next(256) : 0x40 + next(4)),
      ),
    );
    assert.deepEqual(
      constant.candidates.map(({ undecided }) => undecided),
      [false, true],
    );
    const front = learned(
      dumps((line) => `${label(line)} ${hex(line.data[0] ?? 0)} | ${inHex(line.data.slice(1))} ${hex(line.sum)}`, same),
    );
    assert.deepEqual(
      front.candidates.map(({ undecided }) => undecided),
      [false, true],
    );
  });
});

describe('a rule that leaves many lines', () => {
  it('is none beside one that leaves none', () => {
    const { candidates } = learned(
      dumps((line) => `B${line.block}/R${hex(line.place)}: ${inHex(line.data)} | ${hex(line.sum)}`),
    );
    assert.deepEqual(
      candidates.map(({ linesExplained, lines, undecided }) => [linesExplained, lines, undecided]),
      [[22, 22, false]],
    );
  });
});
