import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import type { TextEdit } from '../../../shared-core/src/base/span.js';
import { editLine } from '../../../shared-core/src/base/span.js';
import { convert } from '../../../shared-core/src/convert/index.js';
import { changeDump } from '../../../shared-core/src/model/gate.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { addEndRecord, rightRecordCount } from '../../../shared-core/src/repair/records.js';

const image = (name: string, text: string) => bindText(name, text, EMPTY_PROFILE);

function withEnd(name: string, text: string): string {
  const dump = image(name, text);
  const edits = addEndRecord(dump);
  return dump.rows.map((row, i) => edit(row.text, edits, i)).join('');
}

function edit(text: string, edits: readonly TextEdit[], row: number): string {
  return editLine(
    text,
    edits.filter((one) => one.row === row),
  );
}

describe('the end record of an image', () => {
  it('comes behind the last record, whatever is behind that', () => {
    assert.equal(withEnd('a.hex', ':0100000001FE\n'), ':0100000001FE\n:00000001FF\n');
    assert.equal(withEnd('a.hex', ':0100000001FE'), ':0100000001FE\n:00000001FF');
    assert.equal(withEnd('a.hex', ':0100000001FE\r\n\r\n; note\r\n'), ':0100000001FE\r\n:00000001FF\r\n\r\n; note\r\n');
    assert.equal(withEnd('a.hex', '; note\r\n:0100000001FE'), '; note\r\n:0100000001FE\r\n:00000001FF');
    assert.equal(withEnd('a.hex', ':0100000001xx\n; note\n'), ':0100000001xx\n:00000001FF\n; note\n');
  });

  it('goes with the widest addresses of S-records', () => {
    assert.equal(withEnd('a.s19', 'S104000001FA\n'), 'S104000001FA\nS9030000FC\n');
    assert.equal(withEnd('a.s28', 'S104000001FA\nS20500000001F9\n'), 'S104000001FA\nS20500000001F9\nS804000000FB\n');
    assert.equal(withEnd('a.s37', 'S3060000000001F8\n'), 'S3060000000001F8\nS70500000000FA\n');
    assert.equal(withEnd('a.s19', 'S104000001FA\nS5030001FB\n'), 'S104000001FA\nS5030001FB\nS9030000FC\n', 'a count');
    assert.equal(withEnd('a.s19', 'S00600004844521B\n'), 'S00600004844521B\nS9030000FC\n', 'a title alone');
  });

  it('ends its line as the record before it does, whatever others do', () => {
    assert.equal(withEnd('a.hex', '; note\n:0100000001FE\r\n'), '; note\n:0100000001FE\r\n:00000001FF\r\n');
  });

  it('says in each form what that form says there: how many records there are, or where the data end', () => {
    const text = '0x0010: 01 02 03 04 05 06\n0x0040: 07 08\n';
    for (const [form, name] of [
      ['intel-hex', 'a.hex'],
      ['s-record', 'a.s19'],
      ['mos-tech', 'a.mos'],
      ['ti-txt', 'a.titxt'],
    ] as const) {
      const made = convert(bindText('a.cfgdump', text, EMPTY_PROFILE), form, 4);
      assert.ok(made.ok, form);
      const rows = made.value.text.trimEnd().split('\n');
      assert.equal(withEnd(name, `${rows.slice(0, -1).join('\n')}\n`), `${rows.join('\n')}\n`, form);
    }
    const view = '00000010: 0102 0304 0506 0708 090a 0b0c 0d0e 0f10\n00000000: 0102\n';
    assert.equal(withEnd('a.xxd', view), `${view}00000020\n`, 'where the data end, whichever row holds the last');
    assert.equal(withEnd('a.xxd', '00000000: zz\n'), '00000000: zz\n00000001\n', 'a byte that cannot be read is there');
  });

  it('counts records up to what its digits hold, and then from none on', () => {
    const one = image('a.mos', ';010000010002\n');
    const of = (count: number) =>
      addEndRecord({ ...one, rows: one.rows.slice(0, 1).flatMap((row) => Array(count).fill(row)) });
    assert.equal(of(0x10001)[0]?.text, of(1)[0]?.text);
    assert.notEqual(of(0x10000)[0]?.text, of(1)[0]?.text);
  });

  it('is not put into a text without records', () => {
    for (const text of ['', '\n', '; note\n']) assert.deepEqual(addEndRecord(image('a.hex', text)), [], text);
  });
});

describe('the count record of S-records', () => {
  const righted = (text: string, row: number) => {
    const dump = image('a.s19', text);
    return edit(dump.rows[row]?.text ?? '', rightRecordCount(dump, row), row);
  };

  it('gets the count of the data records before it, and its sum', () => {
    const data = 'S104000001FA\nS104000101F9\n';
    assert.equal(righted(`${data}S5030001FB\nS9030000FC\n`, 2), 'S5030002FA\n');
    assert.equal(righted(`S00600004844521B\n${data}s503000afb\n`, 3), 's5030002fa\n', 'in the letter case of the row');
    assert.equal(righted(`${data}S5030000FC\nS104000201F8\n`, 2), 'S5030002FA\n', 'not those behind it');
    assert.equal(righted(`${data}S604000009F2\n`, 2), 'S604000002F9\n');
    assert.equal(righted(`${data}  S5030001FB  \n`, 2), '  S5030002FA  \n', 'blanks around it stay');
    const blanks = image('a.s19', `${data}  S5030001FB  \n`);
    assert.deepEqual(
      rightRecordCount(blanks, 2).map(({ start, text }) => [start, text]),
      [
        [9, '2'],
        [11, 'A'],
      ],
    );
    const small = image('a.s19', `${data}s503000afb\n`);
    assert.deepEqual(
      rightRecordCount(small, 2).map(({ start, text }) => [start, text]),
      [
        [7, '2'],
        [9, 'a'],
      ],
      'only digits that are wrong change',
    );
    assert.deepEqual(rightRecordCount(image('a.s19', `${data}S5030002FA\n`), 2), [], 'nothing where it is right');
  });

  it('passes the gate', () => {
    const dump = image('a.s19', 'S104000001FA\nS5030007F5\nS9030000FC\n');
    assert.ok(changeDump(dump, { edits: rightRecordCount(dump, 1) }).ok);
    assert.deepEqual(rightRecordCount(dump, 9), []);
  });
});
