import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { checkDump, type Problem } from '../../../shared-core/src/checks/index.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { END, IMAGE, IMAGE_RECORDS, image, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const problems = (dump: Dump) => checkDump(loaded(dump, SOUND));
const said = (dump: Dump) => problems(dump).map(({ code, row, message }) => `${row + 1} ${code}: ${say(message)}`);
const codes = (dump: Dump) => problems(dump).map(({ code }) => code);
const [FIRST, SECOND, THIRD] = IMAGE_RECORDS;

describe('an image with less than the addresses of its profile', () => {
  const profile = profileOf(IMAGE);

  it('is good while all of them are there, in whatever order', () => {
    assert.deepEqual(said(image(profile, FIRST, SECOND, THIRD, END)), []);
    assert.deepEqual(said(image(profile, THIRD, FIRST, SECOND, END)), []);
  });

  it('has one error for each gap, at the row after it, with the range in hex', () => {
    const gap = (problem: Problem) => `${problem.row + 1} ${problem.severity} ${say(problem.message)}`;
    const gaps = (dump: Dump) =>
      problems(dump)
        .filter(({ code }) => code === 'address-missing')
        .map(gap);
    assert.deepEqual(gaps(image(profile, SECOND, THIRD, END)), [
      '1 error Addresses 0010–0013 are missing before this row: no record holds them.',
    ]);
    assert.deepEqual(gaps(image(profile, FIRST, THIRD, END)), [
      '2 error Addresses 0014–0017 are missing before this row: no record holds them.',
    ]);
    assert.deepEqual(gaps(image(profile, FIRST, SECOND, END)), [
      '3 error Addresses 0018–001B are missing before this row: no record holds them.',
    ]);
    assert.deepEqual(gaps(image(profile, SECOND, END)), [
      '1 error Addresses 0010–0013 are missing before this row: no record holds them.',
      '2 error Addresses 0018–001B are missing before this row: no record holds them.',
    ]);
    assert.deepEqual(
      gaps(
        image(
          profile,
          ':01001000A14E',
          ':03001100B2C3016D',
          ':0400140010000000D8',
          ':0300180000 0027BE'.replace(' ', ''),
          END,
        ),
      ),
      ['5 error Address 001B is missing before this row: no record holds it.'],
    );
  });

  it('with the end record only is not good either, nor one whose records cannot be read', () => {
    assert.deepEqual(codes(image(profile, END)).includes('address-missing'), true);
    assert.deepEqual(codes(image(profile, FIRST, `${SECOND}0`, THIRD, END)), ['odd-digits', 'not-checked']);
    assert.deepEqual(
      codes(image(profile, FIRST, `:zz${SECOND.slice(3)}`, THIRD, END)).includes('address-missing'),
      true,
    );
  });

  it('may lack what the profile lists as absent, and only that', () => {
    const absent = { ...profile, totals: [], absent: [{ from: 0x15, to: 0x16 }] };
    assert.deepEqual(said(image(absent, FIRST, ':010014001 0DB'.replace(' ', ''), ':0100170000E8', THIRD, END)), []);
    assert.deepEqual(said(image(absent, FIRST, ':0100140010DB', THIRD, END)), [
      '3 address-missing: Address 0017 is missing before this row: no record holds it.',
    ]);
    assert.deepEqual(said(image(absent, FIRST, THIRD, END)), [
      '2 address-missing: Address 0014 is missing before this row: no record holds it.',
      '2 address-missing: Address 0017 is missing before this row: no record holds it.',
    ]);
  });

  it('has an error for a place of the profile that is absent: nothing else would say so', () => {
    const absent = { ...profile, totals: [], absent: [{ from: 0x13, to: 0x14 }] };
    assert.deepEqual(said(image(absent, ':03001000A1B2C3D7', ':03001500000000E8', THIRD, END)), [
      '1 not-checked: Address 0013 is not in this dump, so "Fog lamps" was not checked.',
      '1 not-checked: Address 0014 is not in this dump, so "Immobiliser" was not checked.',
    ]);
  });

  it('has a gap up to the end of the range where data behind it follow, and none for one address that may be absent', () => {
    const range = { ...profileOf({ addresses: { from: 1, to: 4 } }), absent: [{ from: 3, to: 3 }] };
    assert.deepEqual(said(lines(range, '0: 00\n1: 00 00\n9: 00\n')), [
      '3 address-missing: Address 0004 is missing before this row: no record holds it.',
    ]);
    assert.deepEqual(said(lines({ ...range, absent: [] }, '1: 00 00\n9: 00\n')), [
      '2 address-missing: Addresses 0003–0004 are missing before this row: no record holds them.',
    ]);
    assert.deepEqual(said(lines(range, '1: 00 00\n4: 00 00\n')), []);
  });

  it('follows edits: the gap that a removed record leaves, and that it is filled again', () => {
    const text = (rows: readonly string[]) => `${rows.join('\n')}\n`;
    const addressed = profileOf({ addresses: { from: 1, to: 2 } });
    assert.deepEqual(said(lines(addressed, text(['1: 00', '2: 00']))), []);
    assert.deepEqual(said(lines(addressed, text(['1: 00']))), [
      '1 address-missing: Address 0002 is missing before this row: no record holds it.',
    ]);
  });

  it('random bytes and other text by a pattern are never good', () => {
    const pattern = { notation: { pattern: '[{label:hex}] {data}', otherwise: 'keep' }, addresses: { from: 0, to: 3 } };
    const other = profileOf(pattern);
    for (const text of ['', '\n\n', '\u0003x\ufffd\ufffd§\n', 'nothing at all\n', '[0000] 01 02 03\n'])
      assert.ok(codes(bindText('a.txt', text, other)).includes('address-missing'), JSON.stringify(text));
    assert.deepEqual(said(bindText('a.txt', '[0000] 01 02 03 04\n', other)), []);
  });
});

describe('sums that are not known to be right', () => {
  const profile = profileOf(LINES);

  it('are named where their place is missing: in a record, in a line, at an address', () => {
    assert.deepEqual(said(lines(profile, LINES_TEXT)), []);
    assert.deepEqual(codes(lines(profile, LINES_TEXT.replace(/^total.*\n/m, ''))), ['total-missing']);
    const inLine = profileOf({
      totals: [{ name: 'sum', method: 'add', over: ['data'], lines: '1-1', line: 2, byte: 2 }],
    });
    assert.deepEqual(said(lines(inLine, '1: 01\n2: 00 01\n')), []);
    assert.deepEqual(said(lines(inLine, '1: 01\n2: 00\n')), [
      '2 total-missing: The sum is missing: Byte 2 of line 2 is not in this dump.',
    ]);
    const atAddress = profileOf({ totals: [{ name: 'sum', method: 'add', over: [{ from: 0, to: 0 }], address: 9 }] });
    assert.deepEqual(said(image(atAddress, ':0100000001FE', END)), [
      '1 total-missing: The sum is missing: Address 0009 is not in this dump.',
    ]);
  });

  it('are not checked, which is an error, where a byte is missing, cannot be read or is there twice', () => {
    for (const [change, why] of [
      [(text: string) => text.replace(/^2:.*\n/m, ''), /line 2 is missing \(1 in all\)/],
      [(text: string) => text.replace('01 10', '01 1x'), /1 of the lines it covers cannot be read/],
      [(text: string) => `${text}3: 00 00 00 | 00\n`, /a line is in the file twice/],
      [(text: string) => text.replace('02 27', '02 2x'), /the line in which it is stored cannot be read/],
    ] as const) {
      const found = problems(lines(profile, change(LINES_TEXT))).filter(({ code }) => code === 'not-checked');
      assert.equal(found.length, 1);
      assert.equal(found[0]?.severity, 'error');
      assert.match(say(found[0]?.message ?? { pattern: '', parts: [] }), why);
    }
  });

  it('are not checked over no byte at all, whatever a sum of nothing would be', () => {
    const nothing = profileOf({ totals: [{ name: 'sum', method: 'crc', model: 'CRC-8/ROHC', lines: '5-6' }] });
    for (const byte of ['FF', '00'])
      assert.deepEqual(codes(lines(nothing, `1: 00\ntotal: ${byte}\n`)), ['not-checked'], byte);
    assert.match(said(lines(nothing, '1: 00\ntotal: FF\n'))[0] ?? '', /it covers no byte/);
  });

  it('over all data of an image are not checked where some of the profile are missing', () => {
    const all = profileOf({
      addresses: { from: 0, to: 3 },
      totals: [{ name: 'sum', method: 'add', over: ['data'], address: 0 }],
    });
    // What is missing is 00, so that the sum would be right without it.
    assert.deepEqual(codes(image(all, ':04000000020200 00F8'.replace(' ', ''), END)), []);
    assert.deepEqual(codes(image(all, ':0300000002 0200F9'.replace(' ', ''), END)), ['not-checked', 'address-missing']);
  });

  it('that cover each other are each checked over their bytes', () => {
    const sum = (name: string, over: number, address: number) =>
      profileOf({
        totals: [{ name, method: 'add', over: [{ from: over, to: over + 1 }], address }],
      }).totals;
    const circle = { ...EMPTY_PROFILE, totals: [...sum('a', 1, 0), ...sum('b', 0, 2)] };
    // 0 holds the sum of 1 and 2, and 2 that of 0 and 1: both fit where 1 holds 00.
    assert.deepEqual(said(image(circle, ':03000000050005F3', END)), []);
    assert.deepEqual(codes(image(circle, ':03000000050105F2', END)), ['total-sum', 'total-sum']);
  });

  it('in little-endian order are shown as they are written', () => {
    const [FIRSTS, SECONDS] = [FIRST, SECOND];
    const [problem] = problems(image(profileOf(IMAGE), FIRSTS, SECONDS, ':0400180000002703BA', END));
    assert.deepEqual([problem?.found, problem?.expected], ['2703', '2702']);
    assert.match(say(problem?.message ?? { pattern: '', parts: [] }), /is 2703, its bytes make 2702: 0100 too much/);
  });
});

describe('places of a profile that a dump does not have', () => {
  it('are errors where the profile describes no lines, each once, with what was to be there', () => {
    const { options, locked, balance } = LINES;
    const bare = profileOf({ options, locked, balance, volatile: [{ line: 9, byte: 1, why: 'counter' }] });
    assert.deepEqual(said(lines(bare, '1: A1 B2\n2: 01 10\n')), [
      '1 not-checked: Byte 1–3 of line 1 is not in this dump, so what is locked there (identity) was not checked.',
      '1 not-checked: Byte 1 of line 9 is not in this dump, so what changes there by itself (counter) was not checked.',
      '1 not-checked: Byte 3 of line 3 is not in this dump, so the balance place was not checked.',
    ]);
  });

  it('are not named again where their addresses are missing in part', () => {
    const profile = profileOf({
      addresses: { from: 0, to: 3 },
      options: [{ id: 'o', title: 'It', address: 1, length: 2, number: {} }],
    });
    assert.deepEqual(said(image(profile, ':020000000102FB', ':0100030004F8', END)), [
      '2 address-missing: Address 0002 is missing before this row: no record holds it.',
    ]);
  });

  it('are errors where the file is an image and the places are in lines, or the other way round', () => {
    const inLines = profileOf({ locked: [{ line: 1, byte: 1 }] });
    assert.deepEqual(codes(image(inLines, ':020000000102FB', END)), ['not-checked']);
    const atAddresses = profileOf({ locked: [{ address: 1 }] });
    assert.deepEqual(codes(lines(atAddresses, '1: 00 00\n')), ['not-checked']);
  });

  it('are not named again where missing lines are', () => {
    const profile = profileOf(LINES);
    assert.deepEqual(codes(lines(profile, LINES_TEXT.replace(/^1:.*\n/m, ''))), ['line-missing', 'not-checked']);
    assert.deepEqual(codes(lines(profile, LINES_TEXT.replace('A1 B2 C3 | 16', 'A1 B2'))), [
      'line-length',
      'not-checked',
    ]);
  });

  it('are one error where the profile describes lines and the file is an image', () => {
    const { lines: geometry, options, locked } = LINES;
    assert.deepEqual(codes(image(profileOf({ lines: geometry, options, locked }), ':0100000001FE', END)), [
      'not-checked',
    ]);
  });
});
