// Copies for others: comments that show the characters of a line tell no more of it than its bytes do.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { codes, copied, dataIn, problems, source, textOf, VIN } from '../../support/sharedCopies.js';

/** The characters of each line, as a hex view shows them beside its bytes. */
const shownIn = (text: string, blank: string) => {
  const all = dataIn(text).map((byte) => (byte > 0x20 && byte < 0x7f ? String.fromCharCode(byte) : blank));
  return Array.from({ length: 6 }, (_, i) => all.slice(6 * i, 6 * i + 6).join(''));
};

describe('comments with the characters of each line', () => {
  const BYTES = [0x80, 0x81, 0x41, 0x80, ...codes(VIN), 0x80, ...codes('QZRT'), 0x80, 0x80, 0x80];

  const ways: readonly (readonly [string, (text: string, blank: string) => string])[] = [
    [
      'behind each line',
      (text, blank) => text.replace(/^(\d): (.*)$/gm, (row, line) => `${row} # ${shownIn(text, blank)[line - 1]}`),
    ],
    [
      'below each line',
      (text, blank) => text.replace(/^(\d): (.*)$/gm, (row, line) => `${row}\n# "${shownIn(text, blank)[line - 1]}"`),
    ],
    [
      'above each line',
      (text, blank) => text.replace(/^(\d): (.*)$/gm, (row, line) => `# ${shownIn(text, blank)[line - 1]}\n${row}`),
    ],
    [
      'at its head',
      (text, blank) =>
        `${shownIn(text, blank)
          .map((one) => `# ${one}\n`)
          .join('')}${text}`,
    ],
  ];
  for (const [where, write] of ways)
    for (const blank of ['.', ' ', '_'])
      it(`${where}, with "${blank}" for what is no character, show those of the copy`, () => {
        const from = textOf(BYTES, [`@vin ${VIN}`]);
        const { text, dump, said } = copied(source(write(from, blank)), ['QZRT']);
        assert.deepEqual(problems(dump), []);
        const comments = text.replace(/^\d: [0-9A-F |]+/gm, '');
        for (const left of ['0D', 'EM0T4X', '5TA020', '418', 'QZR', 'RT'])
          assert.doesNotMatch(comments, new RegExp(`(?<![A-Z0-9])${left}`), `${left} in ${comments}`);
        for (const line of shownIn(text, blank)) assert.ok(text.includes(line.trim()), `${line} in ${comments}`);
        assert.ok(said.filter((one) => one.endsWith('masked in a comment')).length >= 4, said.join('\n'));
      });

  it('show a name that ends in blanks as it is in the copy', () => {
    const locked = [{ line: 2, bytes: '1-6', why: 'owner', personal: true }];
    const bytes = [...Array<number>(6).fill(0x11), ...codes('QZRT  ')];
    const { text } = copied(source(textOf(bytes, ['# QZRT', '# of QZRT, not QZRTX']), { locked }));
    const now = String.fromCharCode(...dataIn(text).slice(6, 10));
    assert.doesNotMatch(now, /QZRT/);
    assert.doesNotMatch(text, /QZRT\b/);
    assert.match(text, /not QZRTX$/m);
  });

  it('in lines of few bytes leave no part of a VIN', () => {
    const rows = textOf([0x80, 0x80, 0x80, 0x80, ...codes(VIN)], [`@vin ${VIN}`]).split('\n');
    const text = rows.flatMap((row) => (row.startsWith('1:') ? [row, '# "0D"', '# 0D is read'] : row)).join('\n');
    const { text: now } = copied(source(text));
    assert.doesNotMatch(now, /0D/);
    assert.match(now, /# "0X"\n# 0X is read/);
  });

  it('of a line that is too short are those of the bytes that it has', () => {
    const rows = textOf([...codes('QZRT'), 0x80, 0x80], ['# QZRT']).replace(/^1: .* \| ../m, '1: 51 5A 52 54 80');
    assert.match(copied(source(rows), ['QZRT']).text, /^# XXXY\n1: 58 58 58 59 80$/m);
  });

  it('keep what only looks like a part of it, far from the line or in a longer word', () => {
    const rows = ['# 18 of them', '# A0418B', '# bank 7'];
    const bytes = [0x80, 0x80, ...Array(22).fill(0x11), 0x80, ...codes(VIN).slice(-4), 0x80];
    const { text } = copied(source(textOf(bytes, ['@part X', ...rows])), [VIN]);
    for (const row of rows) assert.ok(text.includes(`${row}\n`), text);
  });

  it('say of digits and letters that are masked anywhere else too, from three on', () => {
    const bytes = [0x80, ...codes('20418'), 0x80];
    const { text } = copied(source(textOf(bytes, [`@vin ${VIN}`, '# no. 20418'])));
    assert.match(text, /^# no\. 00001$/m);
  });
});
