import assert from 'node:assert/strict';
import { crc32 } from 'node:zlib';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { hex, hexBytes, say } from '../../../shared-core/src/base/index.js';
import { convert } from '../../../shared-core/src/convert/index.js';
import { textOfRows } from '../../../shared-core/src/format/index.js';
import { afterWrites } from '../../../shared-core/src/model/byteWrite.js';
import { bindText, type Dump, wrongTotals } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE, readProfile } from '../../../shared-core/src/profile/index.js';
import { readAddressRange } from '../../../shared-core/src/repair/index.js';
import { rebalanceAt } from '../../../shared-core/src/repair/rebalanceAt.js';
import { bytesAt } from '../../support/images.js';

const BYTES = Uint8Array.from({ length: 64 }, (_, i) => (i * 37 + 11) & 0xff);
const HELD = { from: 0x100, to: 0x143 };

/** 64 bytes at 0100 and their CRC-32 behind them (by zlib), of which one byte was changed after it was stored. */
function image(form: 'intel-hex' | 's-record', width: number, more: object = {}): Dump {
  const stored = crc32(BYTES);
  const bytes = [...BYTES, ...[24, 16, 8, 0].map((shift) => (stored >>> shift) & 0xff)];
  bytes[3] = (bytes[3] as number) ^ 0x40;
  const text = `0x${hex(HELD.from, 4)}: ${hexBytes(bytes)}\n`;
  const converted = convert(bindText('a.cfgdump', text, EMPTY_PROFILE), form, width);
  assert.ok(converted.ok);
  const { profile, problems } = readProfile(
    JSON.stringify({
      format: 1,
      addresses: HELD,
      totals: [
        {
          name: 'image sum',
          method: 'crc',
          model: 'CRC-32/ISO-HDLC',
          over: [{ from: 0x100, to: 0x13f }],
          address: 0x140,
          keep: true,
        },
      ],
      ...more,
    }),
  );
  assert.deepEqual(problems, []);
  return bindText(form === 'intel-hex' ? 'a.hex' : 'a.s19', converted.value.text, profile);
}

const sumOf = (dump: Dump) => {
  const held = bytesAt(dump);
  return crc32(Uint8Array.from({ length: 64 }, (_, i) => held.get(0x100 + i) as number));
};

describe('balancing with addresses of a memory image', () => {
  it('four bytes anywhere bring a CRC-32 back, in one way, however the records are cut', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('intel-hex', 's-record'),
        fc.integer({ min: 1, max: 40 }),
        fc.nat(59),
        (form, width, at) => {
          const dump = image(form, width);
          assert.deepEqual(wrongTotals(dump), [0]);
          const from = 0x100 + at;
          const repair = rebalanceAt(dump, { from, to: from + 3 }, [0]);
          assert.ok(repair.ok);
          assert.ok(repair.value.unique && repair.value.fewest);
          const after = bindText(
            form === 'intel-hex' ? 'a.hex' : 'a.s19',
            textOfRows(afterWrites(dump, repair.value.writes).rows),
            dump.profile,
          );
          assert.deepEqual([after.wrongSums, after.invalidRows, wrongTotals(after)], [[], [], []]);
          assert.equal(sumOf(after), crc32(BYTES));
          const [before, now] = [bytesAt(dump), bytesAt(after)];
          for (const [address, byte] of now)
            if (address < from || address > from + 3) assert.equal(byte, before.get(address));
        },
      ),
      { numRuns: 40 },
    );
  });

  it('three bytes do not: how many more are needed is told, and the nearest range that would do', () => {
    const repair = rebalanceAt(image('intel-hex', 16), { from: 0x110, to: 0x112 }, [0]);
    assert.ok(!repair.ok);
    assert.equal(
      say(repair.why),
      'Address 0110–0112: no values of the free bytes correct the sums. At least one more free byte is needed. It can be done with 0110–0113.',
    );
  });

  it('the nearest range grows by one byte after the other, on both sides, and no further than the image', () => {
    const why = (from: number, to: number) => {
      const repair = rebalanceAt(image('intel-hex', 16), { from, to }, [0]);
      return repair.ok ? '' : say(repair.why);
    };
    assert.match(why(0x110, 0x110), /It can be done with 0110–0113\.$/);
    assert.match(why(0x13f, 0x13f), /It can be done with 013C–013F\.$/);
    const profile = readProfile(
      JSON.stringify({
        format: 1,
        addresses: { from: 0, to: 3 },
        totals: [{ name: 'sum', method: 'add', bits: 8, over: [{ from: 0, to: 2 }], address: 3, keep: true }],
        locked: [{ address: 1 }],
      }),
    ).profile;
    const first = bindText('a.hex', ':04000000010203 07EF\n:00000001FF\n'.replace(' ', ''), profile);
    const locked = rebalanceAt(first, { from: 1, to: 1 }, [0]);
    assert.match(locked.ok ? '' : say(locked.why), /It can be done with 0001–0002\.$/);
    const end = bindText('a.hex', first.rows.map(({ text }) => text).join(''), {
      ...profile,
      locked: [...profile.locked, ...readProfile('{ "format": 1, "locked": [{ "address": 2 }] }').profile.locked],
    });
    const before = rebalanceAt(end, { from: 1, to: 2 }, [0]);
    assert.match(before.ok ? '' : say(before.why), /It can be done with 0000–0002\.$/);
  });

  it('the nearest range is named: one byte more before comes before two behind', () => {
    const profile = readProfile(
      JSON.stringify({
        format: 1,
        addresses: { from: 0, to: 6 },
        totals: [{ name: 'sum', method: 'add', bits: 8, over: [{ from: 0, to: 5 }], address: 6, keep: true }],
        locked: [{ from: 2, to: 3 }],
      }),
    ).profile;
    const image = bindText('a.hex', ':070000000102030405060FD5\n:00000001FF\n', profile);
    const why = (from: number) => {
      const repair = rebalanceAt(image, { from, to: from }, [0]);
      return repair.ok ? '' : say(repair.why);
    };
    assert.match(why(2), /It can be done with 0001–0002\.$/);
    assert.match(why(3), /It can be done with 0003–0004\.$/);
  });

  it('bytes of options that are being set are left as they are, in a wider range too', () => {
    const dump = image('intel-hex', 16);
    const fixed = [0, 1, 2].map((byte) => ({ row: 1, byte }));
    const repair = rebalanceAt(dump, { from: 0x110, to: 0x114 }, [0], fixed);
    assert.match(repair.ok ? '' : say(repair.why), /It can be done with 0110–0116\.$/);
    const done = rebalanceAt(dump, { from: 0x110, to: 0x116 }, [0], fixed);
    assert.ok(done.ok);
    assert.ok(done.value.writes.every(({ row, byte }) => row !== 1 || byte > 2));
  });

  it('the nearest range may begin before: what is behind is no free byte', () => {
    const repair = rebalanceAt(image('s-record', 16), { from: 0x13d, to: 0x13f }, [0]);
    assert.match(repair.ok ? '' : say(repair.why), /It can be done with 013C–013F\.$/);
  });

  it('that no wider range would do is not said of one, nor is a range of too many bytes tried', () => {
    const locked = image('intel-hex', 16, { locked: [{ address: 0x101, bytes: 63, why: 'identity' }] });
    const repair = rebalanceAt(locked, { from: 0x100, to: 0x100 }, [0]);
    assert.ok(!repair.ok);
    assert.equal(
      say(repair.why),
      'Address 0100: no values of the free bytes correct the sums. At least 3 more free bytes are needed.',
    );
    const none = rebalanceAt(locked, { from: 0x110, to: 0x110 }, [0]);
    assert.equal(none.ok ? '' : say(none.why), 'No byte is free here: all are locked, hold an option or a sum.');
    const text = `0x0000: ${'00'.repeat(5000)}\n`;
    const large = convert(bindText('a.cfgdump', text, EMPTY_PROFILE), 'intel-hex', 32);
    assert.ok(large.ok);
    const many = rebalanceAt(bindText('a.hex', large.value.text, EMPTY_PROFILE), { from: 0, to: 4096 }, []);
    assert.equal(many.ok ? '' : say(many.why), 'More than 4096 bytes are free at these addresses. Choose fewer.');
    assert.ok(rebalanceAt(bindText('a.hex', large.value.text, EMPTY_PROFILE), { from: 0, to: 4095 }, []).ok);
  });

  it('bytes that are locked, hold an option or change by themselves are never used', () => {
    const dump = image('intel-hex', 16, {
      locked: [{ address: 0x111, why: 'identity' }],
      options: [{ id: 'x', title: 'X', address: 0x112, values: { 0: 'no' } }],
      volatile: [{ address: 0x113, why: 'counter' }],
    });
    const repair = rebalanceAt(dump, { from: 0x110, to: 0x117 }, [0]);
    assert.ok(repair.ok);
    const used = repair.value.writes.filter(({ reason }) => reason === 'balance').map(({ byte }) => byte);
    assert.deepEqual(
      [...new Set(used)].filter((byte) => [1, 2, 3].includes(byte)),
      [],
    );
  });

  it('addresses are read in hex, alone or as a range', () => {
    assert.deepEqual(readAddressRange('0x1F0..0x1FF'), { from: 0x1f0, to: 0x1ff });
    assert.deepEqual(readAddressRange(' 1f0 - 1ff '), { from: 0x1f0, to: 0x1ff });
    assert.deepEqual(readAddressRange('10'), { from: 0x10, to: 0x10 });
    for (const text of ['', '1F0..', '2..1', 'x', '1F0..1FF..2FF'])
      assert.equal(readAddressRange(text), undefined, text);
  });
});
