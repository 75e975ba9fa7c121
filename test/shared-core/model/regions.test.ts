import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { intelHex } from '../../../shared-core/src/format/intelHex.js';
import { sRecord } from '../../../shared-core/src/format/sRecord.js';
import { bindText, regionsOf } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { bytesAt, imageText } from '../../support/images.js';

describe('regions of a memory image', () => {
  for (const [name, notation] of [
    ['a.hex', intelHex],
    ['a.s19', sRecord],
  ] as const) {
    it(`of ${name} are the addresses that records hold, and no two of them touch`, () => {
      fc.assert(
        fc.property(imageText(notation), (text) => {
          const dump = bindText(name, text, EMPTY_PROFILE);
          if (dump.invalidRows.length > 0) return;
          const regions = regionsOf(dump.layout);
          const held = regions.flatMap(({ address, size }) => Array.from({ length: size }, (_, i) => address + i));
          assert.deepEqual(
            held,
            [...bytesAt(dump).keys()].sort((a, b) => a - b),
          );
          for (const [i, { address }] of regions.entries()) {
            const before = regions[i - 1];
            assert.ok(before === undefined || before.address + before.size < address);
          }
        }),
      );
    });
  }
});
