// What is known of a dump after an edit is what reading it anew would say: every edit of small files, and every way back.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { dumpText } from '../../../shared-core/src/format/dumpText.js';
import { type Notation, readRows, replaceText, textOfRows } from '../../../shared-core/src/format/index.js';
import { intelHex } from '../../../shared-core/src/format/intelHex.js';
import { mosTech } from '../../../shared-core/src/format/mosTech.js';
import { sRecord } from '../../../shared-core/src/format/sRecord.js';
import { tektronixExtended } from '../../../shared-core/src/format/tektronix.js';
import { tiTxt } from '../../../shared-core/src/format/tiTxt.js';
import { bind, type Dump, rebind } from '../../../shared-core/src/model/index.js';
import { printRecord } from '../../../shared-core/src/model/lineSum.js';
import { EMPTY_PROFILE, type Profile } from '../../../shared-core/src/profile/index.js';
import { loaded } from '../../support/loaded.js';
import { LINES, LINES_TEXT, profileOf } from '../../support/smallDumps.js';

const NONE = { kind: 'none' } as const;

/** All that is kept of a dump from edit to edit, and what is said of it. */
function known(dump: Dump) {
  const { order, keys, dataCount, imageProblems, unknown, missing, repeated, gaps } = dump.layout;
  return {
    layout: [[...order], [...keys], [...dataCount], imageProblems, unknown, missing, repeated, gaps],
    lists: [dump.headers, dump.invalidRows, dump.wrongSums, dump.wrongLengths],
    sums: [dump.states, dump.totals.map(({ stored }) => stored)],
    problems: checkDump(loaded(dump, NONE, NONE)),
  };
}

interface File {
  readonly notation: Notation;
  readonly profile: Profile;
  readonly rows: readonly string[];
  /** Lines that are put in place of others. */
  readonly others: readonly string[];
}

const record = (notation: Notation, label: number, type: number, ...bytes: readonly number[]) =>
  printRecord(notation, label, type, Uint8Array.from(bytes));
const IMAGE = profileOf({
  addresses: { from: 0, to: 0x15 },
  totals: [{ name: 'sum', method: 'add', bits: 8, over: [{ from: 0, to: 5 }], address: 0x11 }],
  options: [{ id: 'a', title: 'A', address: 2, values: { 3: 'x' } }],
});
/** A record of which one byte cannot be read, and its place can. */
const unreadable = `${record(intelHex, 3, 0, 4, 5, 6).slice(0, -4)}zz${record(intelHex, 3, 0, 4, 5, 6).slice(-2)}`;
const far = record(intelHex, 0, 4, 0, 1);
const near = record(intelHex, 0, 4, 0, 0);

const FILES: Readonly<Record<string, File>> = {
  'Intel HEX with bases': {
    notation: intelHex,
    profile: EMPTY_PROFILE,
    rows: [
      near,
      record(intelHex, 0, 0, 1, 2),
      '# a note',
      far,
      record(intelHex, 0, 0, 3),
      record(intelHex, 4, 0, 5, 6),
      ':00000001FF',
    ],
    others: [
      record(intelHex, 2, 0, 7),
      record(intelHex, 0xffff, 0, 1, 2),
      far,
      ':00000001FF',
      '',
      '# b',
      '12 34 56',
      ':0000',
      'S1030000FC',
      '@vin 1',
    ],
  },
  'Intel HEX by a profile': {
    notation: intelHex,
    profile: IMAGE,
    rows: [
      record(intelHex, 0, 0, 1, 2, 3),
      record(intelHex, 3, 0, 4, 5, 6),
      '@vin 1',
      record(intelHex, 0x10, 0, 9, 21),
      ':00000001FF',
    ],
    others: [
      unreadable,
      record(intelHex, 3, 0, 4, 5, 7),
      record(intelHex, 6, 0, 4),
      record(intelHex, 1, 0, 4),
      record(intelHex, 3, 0, 4, 5, 6).replace('5', '4'),
      '',
      '12 34',
    ],
  },
  'Intel HEX with a record that cannot be read': {
    notation: intelHex,
    profile: IMAGE,
    rows: [record(intelHex, 0, 0, 1, 2, 3), unreadable, record(intelHex, 0x10, 0, 9, 21), ':00000001FF'],
    others: [record(intelHex, 3, 0, 4, 5, 6), record(intelHex, 6, 0, 4), '', '# a'],
  },
  'an image of which no row is sound': {
    notation: intelHex,
    profile: EMPTY_PROFILE,
    rows: ['S1030000FC', ':0000', 'S10', 'x y'],
    others: ['S1030000FD', ':01', '', ':00000001FF', record(intelHex, 0, 0, 1)],
  },
  'S-records that count': {
    notation: sRecord,
    profile: EMPTY_PROFILE,
    rows: [
      record(sRecord, 0, 0, 0x41),
      record(sRecord, 0, 1, 1, 2),
      record(sRecord, 2, 1, 3),
      record(sRecord, 2, 5),
      record(sRecord, 0, 9),
    ],
    others: [
      record(sRecord, 3, 1, 4),
      record(sRecord, 1, 5),
      record(sRecord, 3, 5),
      record(sRecord, 4, 1),
      '',
      '; c',
      'ff',
      record(sRecord, 0, 9),
      ':00000001FF',
    ],
  },
  'MOS Technology': {
    notation: mosTech,
    profile: EMPTY_PROFILE,
    rows: [record(mosTech, 0, 0, 1, 2), record(mosTech, 2, 0, 3), record(mosTech, 2, 1)],
    others: [record(mosTech, 3, 0, 4), record(mosTech, 3, 1), '', 'ff'],
  },
  Tektronix: {
    notation: tektronixExtended,
    profile: EMPTY_PROFILE,
    rows: [record(tektronixExtended, 0, 6, 1, 2), record(tektronixExtended, 2, 6, 3), record(tektronixExtended, 0, 8)],
    others: [record(tektronixExtended, 3, 6, 4), record(tektronixExtended, 0, 8), '', '%'],
  },
  'TI-TXT': {
    notation: tiTxt,
    profile: EMPTY_PROFILE,
    rows: ['@0000', '01 02', '03', '@0010', '04', 'q'],
    others: ['@0002', '05 06', '', 'q', '0', '@'],
  },
  'lines with sums': {
    notation: dumpText,
    profile: profileOf(LINES),
    rows: ['@vin 1', ...LINES_TEXT.trimEnd().split('\n')],
    others: [
      '1: A1 B2 C3 | 17',
      '2: 01 10 01 | 12',
      '2: 01 10',
      '4: 01 02 03 | 06',
      'total: 00',
      '',
      '# c',
      '@part x',
      '3: 0 0',
      'x: 01',
    ],
  },
  'lines without a profile': {
    notation: dumpText,
    profile: EMPTY_PROFILE,
    rows: ['0x10: 01 02', '0x12: 03', 'total: 06'],
    others: ['0x11: 01', '0x12: 04', '', 'words', 'total: 07 08', '0x12: 0'],
  },
};

function edited(dump: Dump, row: number, count: number, lines: readonly string[]): Dump {
  const last = dump.rows.length - 1;
  const end =
    row + count > last ? { row: last, column: dump.rows[last]?.text.length ?? 0 } : { row: row + count, column: 0 };
  const next = replaceText(
    dump.rows,
    { start: { row, column: 0 }, end, text: lines.map((line) => `${line}\n`).join('') },
    dump.notation,
  );
  return rebind(dump, next.rows, next.change);
}

describe('a dump that is edited', () => {
  for (const [name, { notation, profile, rows, others }] of Object.entries(FILES))
    it(`is known as if it were read anew, line by line and back again: ${name}`, () => {
      const read = (text: string) => bind(readRows(text, notation), notation, profile);
      const dump = read(rows.map((line) => `${line}\n`).join(''));
      for (const row of rows.keys())
        for (const [count, lines] of [
          ...[[], ...others.map((other) => [other])].map((put) => [1, put] as const),
          ...others.map((other) => [0, [other]] as const),
          [2, []] as const,
          [0, others.slice(0, 2)] as const,
        ]) {
          const where = `row ${row}: ${count} out, ${lines.join(' | ')} in`;
          const after = edited(dump, row, count, lines);
          assert.deepEqual(known(after), known(read(textOfRows(after.rows))), where);
          const back = edited(after, row, lines.length, rows.slice(row, row + count));
          assert.equal(textOfRows(back.rows), textOfRows(dump.rows));
          assert.deepEqual(known(back), known(read(textOfRows(back.rows))), `${where}, and back`);
        }
    });

  for (const [name, { notation, profile, rows }] of Object.entries(FILES))
    it(`is known as if it were read anew, digit by digit: ${name}`, () => {
      const read = (text: string) => bind(readRows(text, notation), notation, profile);
      const dump = read(rows.map((line) => `${line}\n`).join(''));
      for (const [row, line] of rows.entries())
        for (let column = 0; column <= line.length; column += 1 + (row % 2))
          for (const [length, text] of [
            [1, ''],
            [0, '0'],
            [1, '7'],
            [0, ' '],
            [1, '\n'],
          ] as const) {
            const span = { start: { row, column }, end: { row, column: Math.min(line.length, column + length) }, text };
            const next = replaceText(dump.rows, span, notation);
            const after = rebind(dump, next.rows, next.change);
            assert.deepEqual(
              known(after),
              known(read(textOfRows(after.rows))),
              `${row}:${column} ${JSON.stringify(text)}`,
            );
          }
    });
});
