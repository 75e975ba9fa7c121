import assert from 'node:assert/strict';
import { crc16xmodem } from 'crc';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { setOptions } from '../../shared-core/src/actions/setOptions.js';
import { say } from '../../shared-core/src/base/index.js';
import { checkDump } from '../../shared-core/src/checks/index.js';
import { bind, bindText, type Dump, readOption, rebind } from '../../shared-core/src/model/index.js';
import { bytesAt } from '../support/images.js';
import { loaded, SOUND } from '../support/loaded.js';
import { EMPTY, record, STARTS, slotted, torn } from '../support/slots.js';
import { profileOf } from '../support/smallDumps.js';

/** Three lines of three bytes, one slot each: a number of one byte, a value, and their exclusive or. */
const SMALL = profileOf({
  lines: { from: 1, to: 3, data: 3, sum: 0 },
  slots: [{ name: 'r', lines: ['1', '2', '3'], sequence: { offset: 0 }, check: { method: 'xor', bits: 8, offset: 2 } }],
  options: [{ id: 'value', slot: 'r', offset: 1, number: {} }],
});

const small = (slots: readonly (readonly number[])[]) =>
  bindText(
    'a.cfgdump',
    slots
      .map((bytes, i) => `${i + 1}: ${bytes.map((byte) => byte.toString(16).padStart(2, '0')).join(' ')}\n`)
      .join(''),
    SMALL,
  );

/** The newest by going on from each number: the one from which all others are reached going back less than half way round. */
function newestByHand(numbers: readonly (number | undefined)[]): number | undefined {
  const known = numbers.flatMap((number, slot) => (number === undefined ? [] : [{ number, slot }]));
  const newest = known.filter(({ number }) => {
    const behind = new Set(Array.from({ length: 128 }, (_, back) => (number - back) & 0xff));
    return known.every((other) => behind.has(other.number));
  });
  return newest.length === 1 ? newest[0]?.slot : undefined;
}

const valueOfSmall = (dump: Dump) => {
  const [option] = dump.profile.options;
  return option && readOption(dump, option)?.raw;
};

describe('the slot in force', () => {
  it('is the newest sound one for all numbers near each other, near the end of all numbers, and half way round', () => {
    const numbers = [undefined, 0x01, 0x02, 0x80, 0x81, 0x82, 0xfe, 0xff];
    for (const a of numbers)
      for (const b of numbers)
        for (const c of numbers) {
          const all = [a, b, c];
          const dump = small(
            all.map((number, slot) => {
              const value = 0x40 + slot;
              return number === undefined ? [5, value, 0] : [number, value, number ^ value];
            }),
          );
          const slot = newestByHand(all);
          assert.equal(valueOfSmall(dump), slot === undefined ? undefined : BigInt(0x40 + slot), String(all));
          const codes = checkDump(loaded(dump, SOUND)).map(({ code }) => code);
          assert.equal(codes.includes('slot-unclear'), slot === undefined);
        }
  });
});

const data = fc.uint8Array({ minLength: 12, maxLength: 12 }).map((bytes) => [...bytes]);
const anySlot = fc.oneof(
  {
    arbitrary: fc
      .tuple(fc.integer({ min: 0, max: 5 }), data)
      .map(([number, bytes]) => record((number + 0xfffd) & 0xffff, bytes)),
    weight: 5,
  },
  fc.constant([...EMPTY]),
  fc.integer({ min: 0, max: 5 }).map(torn),
);
const anySlots = fc.tuple(anySlot, anySlot, anySlot);

describe('records that move, whatever they hold', () => {
  it('are set and read back in the slot in force, with every sum right and every other slot as it was', () => {
    const wishes = fc.oneof(
      fc.record({ id: fc.constant('fog'), raw: fc.bigInt({ min: 0n, max: 1n }) }),
      fc.record({ id: fc.constant('speed'), raw: fc.bigInt({ min: 0n, max: 0xffffn }) }),
      fc.record({ id: fc.constant('alone'), raw: fc.bigInt({ min: 0n, max: 0xffn }) }),
    );
    let written = 0;
    fc.assert(
      fc.property(anySlots, wishes, (slots, { id, raw }) => {
        const dump = slotted(slots);
        const [{ inForce } = { inForce: undefined }] = dump.profile.slots;
        const result = setOptions(loaded(dump, SOUND), [{ id, to: { raw } }]);
        if (id !== 'alone' && inForce === undefined) {
          assert.ok(!result.ok);
          return;
        }
        assert.ok(result.ok, result.ok ? '' : say(result.why));
        const { after } = result.value;
        const option = after.profile.options.find((one) => one.id === id);
        assert.equal(option && readOption(after, option)?.raw, raw);
        assert.equal(after.profile.slots[0]?.inForce, inForce);
        const [was, now] = [bytesAt(dump), bytesAt(after)];
        for (const [slot, start] of STARTS.entries()) {
          const block = (bytes: ReadonlyMap<number, number>) =>
            Array.from({ length: 16 }, (_, i) => bytes.get(start + i) ?? -1);
          if (slot !== inForce || id === 'alone') assert.deepEqual(block(now), block(was));
          else {
            const sum = crc16xmodem(Buffer.from(block(now).slice(0, 14)));
            assert.deepEqual(block(now).slice(14), [sum >> 8, sum & 0xff]);
            assert.deepEqual(block(now).slice(0, 4), block(was).slice(0, 4));
          }
        }
        const total = [...now.values()].slice(0, 0x3e).reduce((left, byte) => left + byte, 0) & 0xffff;
        assert.equal(total, 256 * (now.get(0x3e) ?? 0) + (now.get(0x3f) ?? 0));
        written++;
      }),
    );
    assert.ok(written > 20);
  });

  it('are after an edit of a line as if the text were read again', () => {
    fc.assert(
      fc.property(anySlots, anySlots, fc.array(fc.nat(2), { minLength: 1, maxLength: 4 }), (from, to, order) => {
        const [dump, target] = [slotted(from), slotted(to)];
        let now = dump;
        for (const row of order) {
          const rows = now.rows.slice();
          rows[row] = target.rows[row] as (typeof rows)[number];
          now = rebind(now, rows, { row, removed: 1, added: 1 });
          const fresh = bind(rows, dump.notation, slotted(from).profile.asRead ?? now.profile.asRead ?? now.profile);
          assert.equal(JSON.stringify(shown(now)), JSON.stringify(shown(fresh)));
        }
      }),
    );
  });
});

/** What can be seen of a dump. */
function shown(dump: Dump) {
  const { profile, totals, states } = dump;
  return {
    slots: profile.slots.map(({ inForce }) => inForce),
    options: profile.options.map((option) => [option.parts, String(readOption(dump, option)?.raw)]),
    totals: totals.map(({ total, stored }) => [total.name, total.stored, stored]),
    states: states.map(({ state }) => String(state)),
    problems: checkDump(loaded(dump, SOUND)).map(({ code, row, message }) => [code, row, say(message)]),
  };
}
