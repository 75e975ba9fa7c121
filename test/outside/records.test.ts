import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { checkDump } from '../../shared-core/src/checks/index.js';
import { bytesOf, type Notation } from '../../shared-core/src/format/index.js';
import { intelHex } from '../../shared-core/src/format/intelHex.js';
import { sRecord } from '../../shared-core/src/format/sRecord.js';
import { bindText, type Dump } from '../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../shared-core/src/profile/index.js';
import { loaded } from '../support/loaded.js';
import * as published from './published.js';

const codes = (dump: Dump) => checkDump(loaded(dump, { kind: 'none' }, { kind: 'none' })).map(({ code }) => code);
const open = (notation: Notation, text: string) =>
  bindText(notation.id === 'intel-hex' ? 'a.hex' : 'a.s19', text, EMPTY_PROFILE);

const forms = [
  { name: 'Intel HEX', notation: intelHex, records: published.INTEL_HEX.map(([record = '']) => record) },
  { name: 'S-record', notation: sRecord, records: published.S_RECORDS.map(([record = '']) => record) },
];

for (const { name, notation, records } of forms) {
  describe(`published ${name} records`, () => {
    it('are read, have the right sum, and print as they stand', () => {
      for (const record of records) {
        const dump = open(notation, record);
        assert.deepEqual([dump.wrongSums, dump.invalidRows], [[], []], record);
        const row = dump.rows[0];
        assert.ok(row?.kind === 'record', record);
        const data = bytesOf(row, 0, row.count - 1);
        assert.equal(
          notation.print({ label: row.label, type: row.type, data, sum: bytesOf(row, row.count - 1) }),
          record,
        );
      }
    });

    it('a single wrong nibble anywhere behind the mark is found', () => {
      for (const record of records) {
        for (let at = notation === intelHex ? 1 : 2; at < record.length; at++) {
          for (const digit of '0123456789ABCDEF'.replace(record.charAt(at), '')) {
            const dump = open(notation, record.slice(0, at) + digit + record.slice(at + 1));
            assert.ok(dump.wrongSums.length + dump.invalidRows.length > 0, `${record} at ${at}: ${digit}`);
          }
        }
      }
    });
  });
}

describe('files of memory readers', () => {
  const cases: readonly [string, Notation, string, readonly string[]][] = [
    ['no end record', intelHex, ':0100000001FE\n', ['end-missing']],
    ['two end records', intelHex, ':0100000001FE\n:00000001FF\n:00000001FF\n', ['end-repeated']],
    ['data after the end', intelHex, ':00000001FF\n:0100000001FE\n', ['data-after-end']],
    ['the same address twice', intelHex, ':0100000001FE\n:0100000002FD\n:00000001FF\n', ['overlap']],
    ['a length byte that is wrong', intelHex, ':0200000001FD\n:00000001FF\n', ['record-length']],
    ['an unknown type', intelHex, ':0100000901F5\n:00000001FF\n', ['record-type']],
    ['a letter O for a zero', intelHex, ':01O0000001FE\n:00000001FF\n', ['not-hex']],
    ['a wrong sum', intelHex, ':0100000001FF\n:00000001FF\n', ['line-sum']],
    ['a segment that wraps', intelHex, ':020000020000FC\n:02FFFF000102FD\n:00000001FF\n', ['address-wrap']],
    [
      'lower case, blanks and comments',
      intelHex,
      '; read on the bench\n\n:0b0010006164647265737320676170a7  \n:00000001ff\n',
      [],
    ],
    ['a wrong count', sRecord, 'S104000001FA\nS5030002FA\nS9030000FC\n', ['record-count']],
  ];
  for (const [what, notation, text, wanted] of cases) {
    it(`${what}: ${wanted.join() || 'good'}`, () => assert.deepEqual(codes(open(notation, text)), wanted));
  }
});
