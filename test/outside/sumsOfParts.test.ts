import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { describe, it } from 'mocha';
import { readTotal } from '../../shared-core/src/model/totalReading.js';
import { imageOf } from '../support/copies.js';
import { whyNotStarted } from '../support/programs.js';

/** srec_cat (SRecord) sums what is left of an image where some addresses are taken out of it. */
describe('a sum that leaves addresses out', () => {
  for (const [filter, model, width] of [
    ['-crc16-b-e', 'CRC-16/XMODEM', 2],
    ['-crc32-b-e', 'CRC-32/ISO-HDLC', 4],
  ] as const) {
    it(`is what SRecord makes of the rest (${model})`, () => {
      const total = {
        method: 'crc',
        model,
        address: 0x40,
        over: [
          {
            from: 0,
            to: 0x3f,
            except: [
              { address: 0x10, length: 8 },
              { from: 0x20, to: 0x21 },
            ],
          },
        ],
      };
      const dump = imageOf({ addresses: { from: 0, to: 0x4f }, totals: [total] }, (at) => (at * 7 + 3) & 0xff);
      const text = dump.rows.map((row) => row.text).join('');
      const args = ['-', '-intel', '-crop', '0', '0x40', '-exclude', '0x10', '0x18', '-exclude', '0x20', '0x22'];
      const sum = [filter, '0x100', ...(width === 2 ? ['-xmodem'] : [])];
      const out = ['-crop', '0x100', `0x10${width}`, '-offset', '-0x100', '-o', '-', '-binary'];
      const { stdout, error } = spawnSync('srec_cat', [...args, ...sum, ...out], { input: text });
      assert.equal(whyNotStarted('srec_cat', error), undefined);
      assert.equal(readTotal(dump, 0)?.computed, BigInt(`0x${stdout.toString('hex')}`));
    });
  }
});
