import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { type Label, textOfRows } from '../../../shared-core/src/format/index.js';
import { changeDump } from '../../../shared-core/src/model/gate.js';
import { bind, bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE, readProfile } from '../../../shared-core/src/profile/index.js';
import { restoreLine, restoreRecords } from '../../../shared-core/src/repair/restore.js';
import { dumpOf } from '../../support/demo.js';

const { profile } = readProfile(
  JSON.stringify({
    format: 1,
    lines: { from: 1, to: 4, data: 2, sum: 0 },
    totals: [{ name: 'file sum', method: 'xor', bits: 8, over: ['data'], label: 'total' }],
  }),
);
const BACKUP = dumpOf('1: 01 10\n2: 02 20 # old note\n3: 03 30\n4: 04 40\ntotal: 04\n', profile);

/** The text after a line was restored, through the gate. */
function restored(text: string, label: Label): string {
  const dump = dumpOf(text, profile);
  const changed = changeDump(dump, restoreLine(dump, BACKUP, label));
  assert.ok(changed.ok);
  return textOfRows(changed.value.after.rows);
}

describe('restoring a line from the backup', () => {
  it('puts a missing line in its place: before the next higher number, wherever that is', () => {
    const text = '1: 01 10\n2: 02 20\n3: 03 30\n4: 04 40\ntotal: 04\n';
    for (const label of [1, 2, 3, 4]) {
      const without = text.replace(new RegExp(`^${label}:.*\\n`, 'm'), '');
      const wanted = label === 2 ? text.replace('02 20', '02 20 # old note') : text;
      assert.equal(restored(without, label), wanted, `line ${label}`);
    }
    assert.equal(restored('4: 04 40\n1: 01 10\n3: 03 30\n', 2), '4: 04 40\n1: 01 10\n2: 02 20 # old note\n3: 03 30\n');
    assert.equal(restored('2: 02 20\r\n1: 01 10\r\n', 3), '2: 02 20\r\n3: 03 30\r\n1: 01 10\r\n');
  });

  it('puts a missing sum behind the last line', () => {
    assert.equal(restored('1: 01 10\n2: 02 20\n# the end\n', 'total'), '1: 01 10\n2: 02 20\ntotal: 04\n# the end\n');
  });

  it('puts a line into a text that has none', () => {
    assert.equal(restored('# found', 1), '# found\n1: 01 10');
    assert.deepEqual(restoreLine(dumpOf('', profile), BACKUP, 1).edits, [
      { row: 0, start: 0, end: 0, text: '1: 01 10\n' },
    ]);
    assert.equal(restored('# found\n# so\n', 1), '# found\n# so\n1: 01 10\n');
  });

  it('replaces what cannot be read as a whole where lines have no notes', () => {
    const pattern = readProfile(
      JSON.stringify({ format: 1, notation: { pattern: '[{label:hex}] {data}' }, totals: [] }),
    ).profile;
    const [long, whole] = ['[0001] 01 02 03 \n', '[0001] 01 02\n'].map((text) => bindText('a.txt', text, pattern));
    assert.ok(long && whole);
    assert.deepEqual(restoreLine(long, whole, 1).edits, [{ row: 0, start: 0, end: 16, text: '[0001] 01 02' }]);
  });

  it('changes digits only where the line can be read, and keeps the spelling and the note', () => {
    assert.equal(restored('3:  ff 3f 00  # mine\n', 3), '3: 03 30  # mine\n');
    assert.equal(restored('3 :  ff  3f  # mine\n', 3), '3 :  03  30  # mine\n');
    assert.equal(restored('2: zz # mine\n', 2), '2: 02 20 # mine\n');
    assert.equal(restored('2: 02 21 22\n', 2), '2: 02 20 # old note\n');
  });

  it('does nothing where it is as it was, or where the backup has no such line', () => {
    const dump = dumpOf('3: 03 30\n7: 00 00\n', profile);
    for (const label of [3, 7, 'x']) assert.deepEqual(restoreLine(dump, BACKUP, label), { writes: [], edits: [] });
  });
});

describe('restoring records of an image from the backup', () => {
  const image = (text: string) => bindText('a.hex', text, EMPTY_PROFILE);
  const backup = image(':0400000001020304F2\n:020004000506EF\n:00000001FF\n');
  const restoredIn = (dump: Dump, rows: readonly number[]) => {
    const changed = changeDump(dump, restoreRecords(dump, backup, rows));
    assert.ok(changed.ok);
    return textOfRows(changed.value.after.rows);
  };

  it('takes bytes and sums of just these records, however the backup is cut', () => {
    const cut = image(':03000000090909E2\n:03000300090909DF\n:00000001FF\n');
    assert.equal(restoredIn(cut, [0]), ':03000000010203F7\n:03000300090909DF\n:00000001FF\n');
    assert.equal(restoredIn(cut, [0, 1]), ':03000000010203F7\n:03000300040506EB\n:00000001FF\n');
    assert.equal(restoredIn(cut, [2]), textOfRows(cut.rows), 'the end record holds no data');
  });

  it('writes a record anew that cannot be read', () => {
    assert.equal(restoredIn(image(':03000000010x03F7\n:00000001FF\n'), [0]), ':03000000010203F7\n:00000001FF\n');
  });

  it('leaves a record as it is where the backup has not all of its bytes', () => {
    const dump = image(':03000500090909DD\n:00000001FF\n');
    assert.deepEqual(restoreRecords(dump, backup, [0]), { writes: [], edits: [] });
  });

  it('takes thousands of records in one pass', () => {
    const lines = Array.from({ length: 5000 }, (_, i) => `:01${(i & 0xffff).toString(16).padStart(4, '0')}0000xx`);
    const records = lines.map((line) => {
      const bytes = (line.slice(1, -2).match(/../g) ?? []).map((pair) => Number.parseInt(pair, 16));
      const sum = (256 - (bytes.reduce((a, b) => a + b, 0) & 0xff)) & 0xff;
      return line.slice(0, -2) + sum.toString(16).padStart(2, '0');
    });
    const dump = image(`${records.join('\n')}\n:00000001FF\n`);
    const { writes } = restoreRecords(
      dump,
      bind(dump.rows, dump.notation, EMPTY_PROFILE),
      Array.from(dump.layout.order),
    );
    assert.deepEqual(writes, []);
  });
});
