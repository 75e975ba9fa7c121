import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { dumpText } from '../../../shared-core/src/format/dumpText.js';
import type { Notation, Row } from '../../../shared-core/src/format/index.js';
import { intelHex } from '../../../shared-core/src/format/intelHex.js';
import { byteStore } from '../../../shared-core/src/format/notation.js';
import { compilePattern } from '../../../shared-core/src/format/pattern.js';
import { sRecord } from '../../../shared-core/src/format/sRecord.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { loaded } from '../../support/loaded.js';

const pattern = (text: string): Notation => {
  const compiled = compilePattern(text, 'keep');
  assert.ok(compiled.ok);
  return compiled.value;
};
const FORMS: Readonly<Record<string, Notation>> = {
  'Intel HEX': intelHex,
  'S-records': sRecord,
  'a pattern': pattern('[{label:hex}] {data} ;{sum}'),
};
const read = (form: Notation, line: string): Row => form.readRow(`${line}\r\n`, byteStore(line.length));

/** Lines that hold bytes, or say that lines are left out. */
const STRAY = [
  '10 4F 00',
  '104F00',
  '0x10, 0x4F, 0x00,',
  '"10" "4F"',
  'FF FF FF FF',
  '0000: 10 4F 00 5F',
  '00000010  10 4F 00 5F 00 00 00 00  |.O._....|',
  '00A0] 10 4f 00 ;5F',
  '[00G0] 10 4f ;5F',
  'row 12 10 4f 00',
  'Lines 12 x: 01 02',
  'total: 03 B3',
  '0B0010006164647265737320676',
  'x0B00100061646472657373206761A7',
  '\ufeff10 4F',
  '*',
  '10\0 4\0F\0',
];

/** Prose, and values that a program puts over its lines. */
const LEFT_ALONE = [
  'Added 02 FF by hand',
  'read on the bench',
  'a bad face, added',
  'Checksum: 1A2B',
  'CRC 04C11DB7',
  'Size: 4096',
  'Date: 2026-03-02',
  'Saved 2026-03-02 09:14:22',
  'VIN 0DEM0T4X5TA020418',
  'Software 0311',
  'Page 1 of 2',
  '-----------',
  '7',
  'ÄÖÜ',
];

describe('lines of hex that are no records', () => {
  for (const [name, form] of Object.entries(FORMS)) {
    it(`are never taken for comments in ${name}`, () => {
      for (const line of STRAY) {
        const row = read(form, line);
        assert.ok(row.kind === 'broken' && row.isStray, line);
        assert.deepEqual(
          row.problems.map(({ code }) => code),
          ['text-unreadable'],
          line,
        );
      }
    });

    it(`may stand in ${name} behind a comment sign`, () => {
      for (const sign of ['#', ';', '//', ' ;'])
        for (const line of STRAY)
          assert.equal(read(form, `${sign}${line.replace('\ufeff', '')}`).kind, 'comment', line);
    });
  }

  it('are told from prose in a pattern, which may hold bytes; in an image all text needs a comment sign', () => {
    for (const line of [...LEFT_ALONE, 'deadbeef', '12:34:56:78', '12h 34h', 'zz1234', '/00001001FF']) {
      if (LEFT_ALONE.includes(line))
        assert.equal(read(pattern('[{label:hex}] {data} ;{sum}'), line).kind, 'comment', line);
      for (const form of [intelHex, sRecord]) {
        const row = read(form, line);
        assert.ok(row.kind === 'broken' && row.isStray, line);
      }
    }
  });

  it('count as not read by a pattern, and so does a sum that is printed in decimal', () => {
    const isPassed = (line: string) => {
      const row = read(pattern('{label}: {data}'), line);
      return row.kind === 'comment' && row.isPassed === true;
    };
    for (const line of ['TOTAL = 24761', 'Sum (dec) 1104729', 'Checksum 1A2B']) assert.ok(isPassed(line), line);
    for (const line of ['# TOTAL = 24761', 'Page 1 of 3', 'Part 24761', 'Total lines: 256', 'read on the bench'])
      assert.ok(!isPassed(line), line);
  });

  it('have the shape of the pattern where its literal text is there, however few bytes they hold', () => {
    for (const [form, stray, prose] of [
      ['[{label:hex}] {data}', ['[00A0] 1x', '[00G0] 10', '[ ] 10 4F', '[00A0]'], ['[note] 10', '[00A0] see below']],
      ['{label}: {data}', ['7: 1x', '7: 1x 4F', '7 b: 10 4F'], ['note: 1x', 'Added: by hand', 'Total of 3: none']],
      ['{label} {data}', ['7 1x 4F', 'rear 10 4x'], ['Page 3 by 4', 'total saved on Monday']],
      [';{label} {data}', [';7 1x 4F'], ['# 7 10 4F', '; made by hand']],
    ] as const) {
      for (const line of stray) assert.equal(read(pattern(form), line).kind, 'broken', `${form}: ${line}`);
      for (const line of prose) assert.equal(read(pattern(form), line).kind, 'comment', `${form}: ${line}`);
    }
  });

  it('of dump text cannot be passed over at all', () => {
    for (const line of STRAY) {
      if (/^(?:\w+|total): [0-9A-F ]+$/.test(line)) continue;
      assert.equal(read(dumpText, line).kind, 'broken', line);
    }
  });

  it('are errors of the file, one where it has no record at all', () => {
    const said = (text: string) =>
      checkDump(loaded(bindText('a.hex', text, EMPTY_PROFILE))).map(({ row, code, message }) => [
        row,
        code,
        say(message).slice(0, 24),
      ]);
    assert.deepEqual(said('10 4F 00\n5F 00 00\n'), [[0, 'text-unreadable', 'No line of this file can']]);
    assert.deepEqual(said(':0100000001FE\n10 4F 00\n:00000001FF\n'), [
      [1, 'text-unreadable', 'This line is no valid re'],
    ]);
  });
});
