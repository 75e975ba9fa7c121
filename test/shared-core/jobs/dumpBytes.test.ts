// Where a text may run through a dump, and what people call a byte of it.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { bytesInOrders } from '../../../shared-core/src/jobs/share/dumpBytes.js';
import { bytesOfHex } from '../../support/hex.js';
import { END, IMAGE_RECORDS, image, LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

describe('the bytes of a dump in the orders in which a text may run through them', () => {
  const [first, second, third] = IMAGE_RECORDS;
  const named = (orders: ReturnType<typeof bytesInOrders>) =>
    orders.map(({ bytes, nameOf }) => Array.from(bytes, (byte, i) => `${say(nameOf(i))} = ${byte}`));
  const ofRecords = (hex: string) => [...bytesOfHex(hex)];

  it('are those of an image by their addresses, as its records follow in the file, and with their sums', () => {
    const orders = bytesInOrders(image(profileOf({}), second, first, third, END));
    assert.deepEqual(
      orders.map(({ bytes }) => [...bytes]),
      [
        ofRecords('A1B2C301 10000000 00002702'),
        ofRecords('10000000 A1B2C301 00002702'),
        ofRecords('10000000D8 A1B2C301D5 00002702BB FF'),
      ],
    );
    const [byAddress, , withSums] = named(orders);
    assert.equal(byAddress?.[5], 'Address 0015 = 0');
    // The sum of a record is at no address.
    assert.deepEqual(withSums?.slice(4, 6), ['Row 1, byte 5 = 216', 'Address 0010 = 161']);
  });

  it('are those of lines by their labels, as they follow in the file, and with their sums', () => {
    const [one, two, three, total] = LINES_TEXT.trim().split('\n');
    const orders = bytesInOrders(lines(profileOf(LINES), `${[three, one, two, total, ''].join('\n')}`));
    assert.deepEqual(
      orders.map(({ bytes }) => [...bytes].slice(0, 9)),
      [ofRecords('A1B2C3 011000 000000'), ofRecords('000000 A1B2C3 011000'), ofRecords('00000000 A1B2C316 01')],
    );
    const [, , withSums] = named(orders);
    assert.deepEqual(withSums?.slice(3, 5), ['Line 3, byte 4 = 0', 'Line 1, byte 1 = 161']);
  });
});
