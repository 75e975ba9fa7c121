import assert from 'node:assert/strict';
import { crc16xmodem } from 'crc';
import { describe, it } from 'mocha';
import { fixesFor } from '../../../shared-core/src/actions/fixes/fixesFor.js';
import { setOptions } from '../../../shared-core/src/actions/setOptions.js';
import { say } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { textOfRows } from '../../../shared-core/src/format/index.js';
import { intelHex } from '../../../shared-core/src/format/intelHex.js';
import { addressCell } from '../../../shared-core/src/model/cell.js';
import { changeDump } from '../../../shared-core/src/model/gate.js';
import type { Dump } from '../../../shared-core/src/model/index.js';
import { bindText, readOption } from '../../../shared-core/src/model/index.js';
import { printRecord } from '../../../shared-core/src/model/lineSum.js';
import { wrongTotals } from '../../../shared-core/src/model/totalReading.js';
import { withLineSums } from '../../../shared-core/src/repair/lineSums.js';
import { scanImage } from '../../../shared-core/src/scan/imageScan.js';
import { bytesAt } from '../../support/images.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { DATA, EMPTY, RECORD, record, slotted, torn } from '../../support/slots.js';
import { END, image, profileOf } from '../../support/smallDumps.js';

const found = (dump: Dump) =>
  checkDump(loaded(dump, SOUND)).map(({ code, severity, message }) => `${severity} ${code}: ${say(message)}`);

const rawOf = (dump: Dump, id: string) => {
  const option = dump.profile.options.find((one) => one.id === id);
  return option && readOption(dump, option)?.raw;
};

const other = DATA.map((byte, i) => (i === 2 ? 0x31 : byte));

describe('a record that moves from slot to slot', () => {
  it('is read from the newest sound slot, and the others are told as older', () => {
    const dump = slotted([record(16), record(18, other), record(17)]);
    assert.equal(rawOf(dump, 'fog'), 1n);
    assert.deepEqual(found(dump), [
      'information slot-stale: Slot 1 of "record" holds an older record (number 16). Slot 2 is in force (number 18).',
      'information slot-stale: Slot 3 of "record" holds an older record (number 17). Slot 2 is in force (number 18).',
    ]);
  });

  it('is read from the slot before a torn one, which is told with both checks', () => {
    const dump = slotted([record(16, other), torn(17), EMPTY]);
    assert.equal(rawOf(dump, 'fog'), 1n);
    const [first, second] = found(dump);
    assert.match(
      first ?? '',
      /^warning slot-torn: Slot 2 of "record" is torn and not in force: its check is [0-9A-F]{4}, and its bytes come to [0-9A-F]{4}\. Its number \(17\) follows that of the record in force, slot 1, so the module may have gone back to the settings before\. Read the module again\.$/,
    );
    assert.equal(second, 'information slot-empty: Slot 3 of "record" holds no record: all its bytes are the same.');
  });

  it('is never read from a slot of one value alone, though the check of zeros comes out', () => {
    const zeros = new Array<number>(16).fill(0);
    const dump = slotted([record(16, other), zeros, EMPTY]);
    assert.equal(rawOf(dump, 'fog'), 1n);
    assert.deepEqual(found(dump), [
      'information slot-empty: Slot 2 of "record" holds no record: all its bytes are the same.',
      'information slot-empty: Slot 3 of "record" holds no record: all its bytes are the same.',
    ]);
  });

  it('is told as a warning where the torn slot has the number after it, also where numbers go round', () => {
    const severity = (slots: readonly (readonly number[])[]) =>
      found(slotted(slots))
        .map((one) => one.split(':', 1)[0] ?? '')
        .find((one) => one.endsWith('slot-torn'));
    assert.equal(severity([record(0xffff), torn(0), record(0xfffe)]), 'warning slot-torn');
    assert.equal(severity([record(17), torn(15), record(16)]), 'information slot-torn');
    assert.equal(severity([record(17), torn(19), record(16)]), 'information slot-torn');
  });

  it('is read beside what is wrong with the image elsewhere, and not where an address is held twice', () => {
    const dump = slotted([record(16), record(18, other), record(17)]);
    const again = (text: string) => bindText('a.hex', text, dump.profile);
    const text = textOfRows(dump.rows);
    assert.equal(rawOf(again(text.replace(/^:00000001FF.*$/m, '')), 'fog'), 1n);
    const [first = ''] = text.split('\n');
    assert.equal(rawOf(again(text.replace(first, `${first}\n${first}`)), 'fog'), undefined);
  });

  it('goes on after the highest number with the lowest', () => {
    const dump = slotted([record(0xffff), record(0, other), record(0xfffe)]);
    assert.equal(rawOf(dump, 'fog'), 1n);
  });

  for (const [name, slots, why] of [
    [
      'two newest have one number',
      [record(17), record(17, other), record(16)],
      /Slots 1 and 2 of "record" both hold record number 17/,
    ],
    ['none is sound', [torn(17), EMPTY, torn(16)], /No slot of "record" is sound/],
    ['the numbers are too far apart', [record(0), record(0x5555), record(0xaaaa)], /so far apart/],
  ] as const) {
    it(`cannot be read or written where ${name}`, () => {
      const dump = slotted(slots);
      assert.equal(rawOf(dump, 'fog'), undefined);
      const [unclear] = found(dump).filter((one) => one.includes('slot-unclear'));
      assert.match(unclear ?? '', /^error slot-unclear: /);
      assert.match(unclear ?? '', why);
      const result = setOptions(loaded(dump, SOUND), [{ id: 'fog', to: { raw: 0n } }]);
      assert.ok(!result.ok);
      assert.match(say(result.why), why);
      const cell = addressCell(dump.layout, 0x04);
      assert.ok(cell);
      const write = changeDump(
        { ...dump, totals: [], states: [] },
        { writes: [{ ...cell, value: 1, reason: 'restore' }] },
      );
      assert.ok(!write.ok);
      assert.match(say(write.why), why);
    });
  }

  it('is written in the slot in force, with its check and the sums over it', () => {
    const dump = slotted([record(16), record(18), record(17)]);
    const result = setOptions(loaded(dump, SOUND), [{ id: 'speed', to: { raw: 0x1234n } }]);
    assert.ok(result.ok, result.ok ? '' : say(result.why));
    const data = DATA.map((byte, i) => (i === 4 ? 0x12 : i === 5 ? 0x34 : byte));
    const expected = slotted([record(16), record(18, data), record(17)]);
    assert.deepEqual([...bytesAt(result.value.after)], [...bytesAt(expected)]);
    assert.deepEqual(
      found(result.value.after).filter((one) => !one.startsWith('information')),
      [],
    );
  });

  it('is never written in a slot that is not in force', () => {
    const dump = slotted([record(16), record(18), record(17)]);
    const cell = addressCell(dump.layout, 0x2a);
    assert.ok(cell);
    const write = changeDump(
      { ...dump, totals: [], states: [] },
      { writes: [{ ...cell, value: 1, reason: 'restore' }] },
    );
    assert.ok(!write.ok);
    assert.equal(
      say(write.why),
      'Address 002A is in slot 3 of "record", which is not in force: only the module writes there.',
    );
  });
});

describe('a torn slot', () => {
  const fixesOf = (dump: Dump) => {
    const subject = loaded(dump, SOUND);
    return checkDump(subject).flatMap((problem) =>
      problem.code === 'slot-torn' ? fixesFor(subject, problem, true) : [],
    );
  };

  it('is put in force by its check where its record would be the newest, the sums over it right', () => {
    const typed = record(18).map((byte, i) => (i === 7 ? 0x65 : byte));
    const dump = slotted([record(16), typed, record(17)]);
    const [fix, ...others] = fixesOf(dump);
    assert.deepEqual(others, []);
    assert.match(
      fix === undefined ? '' : say(fix.title),
      /^Put slot 2 of "record" in force: correct its check, [0-9A-F]{4} to [0-9A-F]{4}$/,
    );
    assert.ok(fix?.kind === 'change' && fix.result.ok && fix.preferred);
    const { after } = fix.result.value;
    assert.equal(rawOf(after, 'speed'), 0x65n);
    const data = DATA.map((byte, i) => (i === 5 ? 0x65 : byte));
    assert.deepEqual([...bytesAt(after)], [...bytesAt(slotted([record(16), record(18, data), record(17)]))]);
  });

  it('is put in force by its check alone: no other byte of it changes with that', () => {
    const before = slotted([record(16), torn(18), record(17)]);
    const bytes = record(18).map((byte, i) => (i === 9 ? byte ^ 0x08 : byte));
    const put = (own: readonly number[]) => {
      const target = bytesAt(slotted([record(16), own, record(17)]));
      const writes = [...bytesAt(before)].flatMap(([address, value]) => {
        const [cell, wanted] = [addressCell(before.layout, address), target.get(address)];
        return cell === undefined || wanted === undefined || wanted === value
          ? []
          : { ...cell, value: wanted, reason: 'total' as const };
      });
      const result = changeDump(
        before,
        { writes: withLineSums(before, writes) },
        { puts: { slots: 'record', slot: 1 } },
      );
      return result.ok ? 'put' : say(result.why);
    };
    const withCheck = (own: readonly number[]) => {
      const sum = crc16xmodem(Buffer.from(own.slice(0, 14)));
      return [...own.slice(0, 14), sum >> 8, sum & 0xff];
    };
    assert.equal(put(withCheck(bytes)), 'put');
    assert.notEqual(put(withCheck(bytes.map((byte, i) => (i === 8 ? byte ^ 1 : byte)))), 'put');
  });

  it('is put in force with the sum over it kept right, though another one was wrong before', () => {
    const lone = { name: 'lone sum', method: 'add', bits: 8, over: [{ from: 0x30, to: 0x30 }], address: 0x31 };
    const json = { ...RECORD, totals: [lone, ...RECORD.totals] };
    const dump = slotted([record(16), torn(18), record(17)], json);
    assert.deepEqual(
      wrongTotals(dump).map((index) => dump.totals[index]?.total.name),
      ['lone sum'],
    );
    const [fix] = fixesOf(dump);
    assert.ok(fix?.kind === 'change' && fix.result.ok);
    const { after } = fix.result.value;
    assert.ok(wrongTotals(after).every((index) => after.totals[index]?.total.name === 'lone sum'));
  });

  it('is told from another torn one in the same row', () => {
    const bytes = Uint8Array.from(bytesAt(slotted([torn(15), torn(18), record(17)])).values());
    const records = [0, 32].map((from) => printRecord(intelHex, from, 0, bytes.slice(from, from + 32)));
    const wide = image(profileOf(RECORD), ...records, END);
    const titles = fixesOf(wide).map(({ title }) => say(title));
    assert.equal(titles.length, 1);
    assert.match(titles[0] ?? '', /^Put slot 2 of "record" in force: /);
  });

  it('is left where an older record is in it', () => {
    assert.deepEqual(fixesOf(slotted([record(16), torn(15), record(17)])), []);
  });
});

describe('an image with a record that moves, read in one pass', () => {
  it('has the same slot in force, the same values and the same problems', () => {
    for (const slots of [
      [record(16), record(17, other), EMPTY],
      [record(18, other), torn(19), record(17)],
      [record(5), record(5, other), EMPTY],
    ]) {
      const dump = slotted(slots);
      const text = textOfRows(dump.rows);
      const scanned = scanImage(
        {
          chunks: () => [new TextEncoder().encode(text)],
          notation: dump.notation,
          decode: (bytes) => new TextDecoder().decode(bytes),
        },
        profileOf(RECORD),
      );
      assert.ok(!('asks' in scanned));
      assert.deepEqual(found(scanned), found(dump));
      for (const { id } of dump.profile.options) assert.equal(rawOf(scanned, id), rawOf(dump, id));
    }
  });
});
