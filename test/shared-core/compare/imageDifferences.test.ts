import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { compareDumps } from '../../../shared-core/src/compare/index.js';
import { intelHex } from '../../../shared-core/src/format/intelHex.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';

/** An Intel HEX record with its sum right. */
function record(address: number, type: number, ...data: number[]): string {
  const bytes = [data.length, address >> 8, address & 0xff, type, ...data];
  const sum = -bytes.reduce((all, byte) => all + byte, 0);
  return intelHex.print({ label: address, type, data: Uint8Array.from(data), sum: Uint8Array.of(sum) });
}

const image = (...records: readonly string[]): Dump =>
  bindText('a.hex', [...records, ':00000001FF', ''].join('\n'), EMPTY_PROFILE);
const lines = (before: Dump, after: Dump) =>
  compareDumps(before, after).lines.map(({ label, bytes }) => [label, bytes.map(({ byte }) => byte)]);

describe('the comparison of two memory images', () => {
  const page = (number: number) => record(0, 4, 0, number);

  it('finds a change in a record whose written address stands there twice', () => {
    const before = image(page(0), record(0x10, 0, 1, 2), page(1), record(0x10, 0, 3, 4));
    const after = image(page(0), record(0x10, 0, 1, 2), page(1), record(0x10, 0, 3, 5));
    assert.deepEqual(lines(before, after), [['10010', [2, 3]]]);
    assert.equal(compareDumps(before, before).identical, true);
  });

  it('calls images the same that hold the same bytes in records cut otherwise', () => {
    const before = image(record(0x10, 0, 1, 2, 3, 4));
    const after = image(record(0x12, 0, 3, 4), record(0x10, 0, 1, 2));
    assert.equal(compareDumps(before, after).identical, true);
  });

  it('calls images the same whose records write the same address otherwise, though their sums differ', () => {
    const before = image(record(0, 2, 0x10, 0), record(0x10, 0, 1, 2));
    const after = image(page(1), record(0x10, 0, 1, 2));
    const shifted = image(record(0, 2, 0x10, 1), record(0, 0, 1, 2));
    assert.deepEqual([lines(before, after), compareDumps(before, after).identical], [[], true]);
    assert.deepEqual([lines(before, shifted), compareDumps(before, shifted).identical], [[], true]);
    const wrong = image(page(1), record(0x10, 0, 1, 2).replace(/..$/, '00'));
    assert.deepEqual(lines(before, wrong), [['10010', [3]]]);
  });

  it('calls nothing the same where a record has a wrong sum that the other, cut otherwise, cannot confirm', () => {
    const whole = image(record(0x10, 0, 1, 2, 3, 4));
    const damaged = image(record(0x10, 0, 1, 2).replace(/..$/, '00'), record(0x12, 0, 3, 4));
    const end = bindText('a.hex', `${record(0x10, 0, 1, 2, 3, 4)}\n:00000001FE\n`, EMPTY_PROFILE);
    const page = image(record(0, 4, 0, 0).replace(/..$/, '00'), record(0x10, 0, 1, 2, 3, 4));
    for (const torn of [damaged, end, page]) {
      for (const [before, after, side] of [
        [whole, torn, 'after'],
        [torn, whole, 'before'],
      ] as const) {
        const { identical, unread, lines: differing } = compareDumps(before, after);
        assert.deepEqual([identical, differing], [false, []]);
        assert.ok(unread.some((one) => one.side === side && /is wrong \(1 in all\)/.test(say(one.why))));
      }
      assert.equal(compareDumps(torn, torn).identical, true, 'what both hold letter by letter is the same');
    }
  });

  it('names the addresses that only one of them holds', () => {
    const {
      onlyBefore,
      onlyAfter,
      lines: both,
    } = compareDumps(image(record(0x10, 0, 1, 2, 3)), image(record(0x11, 0, 2, 3, 4)));
    assert.deepEqual([onlyBefore, onlyAfter, both], [['0010'], ['0013'], []]);
  });

  it('names records that cannot be read as not compared, and calls nothing the same', () => {
    const { identical, uncompared } = compareDumps(
      image(record(0x10, 0, 1, 2)),
      image(record(0x10, 0, 1, 2).replace('0102', '0lO2')),
    );
    assert.deepEqual([identical, uncompared], [false, ['0010–0011']]);
  });
});
