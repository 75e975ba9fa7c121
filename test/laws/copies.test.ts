import assert from 'node:assert/strict';
import { crc16xmodem } from 'crc';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { setOptions } from '../../shared-core/src/actions/setOptions.js';
import { say } from '../../shared-core/src/base/index.js';
import { checkDump } from '../../shared-core/src/checks/index.js';
import { addressCell } from '../../shared-core/src/model/cell.js';
import { changeDump } from '../../shared-core/src/model/gate.js';
import { readOption } from '../../shared-core/src/model/index.js';
import { imageOf, SETTINGS, STARTS, settingsBytes } from '../support/copies.js';
import { bytesAt } from '../support/images.js';
import { loaded, SOUND } from '../support/loaded.js';

const data = fc.uint8Array({ minLength: 8, maxLength: 8 });

/** Settings of any bytes, as they are or inverted in their copies. */
const anySettings = fc
  .tuple(data, fc.boolean(), fc.constantFrom('all', 'majority'), fc.boolean())
  .map(([bytes, isInverted, agree, keep]) => {
    const own = [...bytes].map((byte, i) => (i === 2 ? byte & 0xf1 : byte));
    const [inner, outer] = SETTINGS.totals;
    const profile = {
      ...SETTINGS,
      copies: [{ ...SETTINGS.copies[0], as: isInverted ? 'inverted' : 'same', agree }],
      totals: [inner, { ...outer, keep }],
      balance: [{ address: 0x48, length: 6 }],
    };
    const all = settingsBytes(own, isInverted);
    return { isInverted, dump: imageOf(profile, (at) => all[at] ?? 0) };
  });

describe('copies, whatever they hold', () => {
  it('are the same after every option that is set, which is read back, with every sum right', () => {
    const wishes = fc.oneof(
      fc.record({ id: fc.constant('fog'), raw: fc.bigInt({ min: 0n, max: 1n }) }),
      fc.record({ id: fc.constant('speed'), raw: fc.bigInt({ min: 0n, max: 0xffffn }) }),
      fc.record({ id: fc.constant('alone'), raw: fc.bigInt({ min: 0n, max: 0xffn }) }),
    );
    fc.assert(
      fc.property(anySettings, fc.array(wishes, { minLength: 1, maxLength: 3 }), ({ isInverted, dump }, all) => {
        let now = dump;
        for (const { id, raw } of all) {
          const result = setOptions(loaded(now, SOUND), [{ id, to: { raw } }]);
          // A sum that is kept may need more than the balance places can take up.
          if (!result.ok) assert.match(say(result.why), /can take up/);
          if (!result.ok) break;
          now = result.value.after;
          const option = now.profile.options.find((one) => one.id === id);
          assert.equal(option && readOption(now, option)?.raw, raw);
          const bytes = bytesAt(now);
          const block = (start: number) => Array.from({ length: 10 }, (_, i) => bytes.get(start + i) ?? -1);
          const [first = []] = STARTS.map(block);
          const copied = isInverted ? first.map((byte) => byte ^ 0xff) : first;
          for (const start of STARTS.slice(1)) assert.deepEqual(block(start), copied);
          const sum = crc16xmodem(Buffer.from(first.slice(0, 8)));
          assert.deepEqual(first.slice(8), [sum >> 8, sum & 0xff]);
          const total = [...bytes.values()].slice(0, 0x4e).reduce((left, byte) => left + byte, 0) & 0xffff;
          assert.equal(total, 256 * (bytes.get(0x4e) ?? 0) + (bytes.get(0x4f) ?? 0));
          assert.deepEqual(checkDump(loaded(now, SOUND)), []);
        }
      }),
    );
  });

  it('are never left different by a write, wherever it is', () => {
    const writes = fc.array(fc.tuple(fc.integer({ min: 0x10, max: 0x39 }), fc.nat(255)), {
      minLength: 1,
      maxLength: 4,
    });
    fc.assert(
      fc.property(anySettings, writes, ({ isInverted, dump }, all) => {
        const changed = changeDump(
          { ...dump, totals: [], states: [] },
          {
            writes: all.map(([address, value]) => {
              const cell = addressCell(dump.layout, address);
              assert.ok(cell);
              return { ...cell, value, reason: 'restore' };
            }),
          },
        );
        const before = bytesAt(dump);
        const after = new Map([...before, ...all]);
        const agree = Array.from({ length: 10 }, (_, i) => i).every((i) => {
          const [first = 0, ...others] = STARTS.map((start) => after.get(start + i) ?? 0);
          return others.every((byte) => byte === (isInverted ? first ^ 0xff : first));
        });
        if (changed.ok) assert.ok(agree);
      }),
    );
  });
});
