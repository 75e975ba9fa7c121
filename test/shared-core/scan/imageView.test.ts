import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { finish } from '../../../shared-core/src/base/index.js';
import type { Notation } from '../../../shared-core/src/format/index.js';
import { intelHex } from '../../../shared-core/src/format/intelHex.js';
import { sRecord } from '../../../shared-core/src/format/sRecord.js';
import { bindText, regionsOf } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';
import { readImageBytes } from '../../../shared-core/src/scan/index.js';
import { bytesAt, imageText } from '../../support/images.js';

const viewOf = (notation: Notation, text: string) =>
  finish(
    readImageBytes({
      chunks: () => [Buffer.from(text)],
      notation,
      decode: (bytes) => Buffer.from(bytes).toString('utf8'),
    }),
  ) ?? assert.fail('all rows are needed');

describe('the bytes of an image, to be looked at a page at a time', () => {
  for (const [name, notation] of [
    ['a.hex', intelHex],
    ['a.s19', sRecord],
  ] as const) {
    it(`of ${name} are those of its records, each at its address, in the lines of its regions`, () => {
      fc.assert(
        fc.property(imageText(notation), (text) => {
          const dump = bindText(name, text, EMPTY_PROFILE);
          if (dump.invalidRows.length > 0 || dump.layout.imageProblems.some(({ code }) => code === 'overlap')) return;
          const view = viewOf(notation, text);
          const regions = regionsOf(dump.layout);
          assert.deepEqual(
            view.regions,
            regions.map(({ address, size }) => ({ from: address, to: address + size - 1 })),
          );
          const held = bytesAt(dump);
          const shown = new Map<number, number>();
          for (const line of view.text(0, view.lines).split('\n').filter(Boolean)) {
            const [address = '', rest = ''] = [line.slice(0, line.indexOf(' ')), line.slice(line.indexOf(' ') + 2)];
            const columns = [...Array(8).keys()].map((i) => 3 * i).concat([...Array(8).keys()].map((i) => 25 + 3 * i));
            columns.forEach((column, i) => {
              const digits = rest.slice(column, column + 2).trim();
              if (digits) shown.set(Number.parseInt(address, 16) + i, Number.parseInt(digits, 16));
            });
          }
          assert.deepEqual(shown, new Map([...held].sort(([a], [b]) => a - b)));
          for (const address of held.keys()) {
            const [line = ''] = view.text(view.lineOf(address), 1).split(' ');
            assert.equal(Number.parseInt(line, 16), address - (address % 16));
          }
          for (const region of view.regions)
            assert.deepEqual(
              [...(view.bytesOf(region) ?? [])],
              [...held]
                .filter(([at]) => at >= region.from && at <= region.to)
                .sort(([a], [b]) => a - b)
                .map(([, byte]) => byte),
            );
        }),
      );
    });
  }

  it('shows what is no letter as a dot, and nothing where nothing is held', () => {
    const view = viewOf(intelHex, ':050003004865792100AA\n:0100310041F3\n');
    assert.equal(
      view.text(0, 9),
      [
        '0000           48 65 79 21 00                              Hey!.        ',
        '0030     41                                              A              ',
      ].join('\n'),
    );
  });
});
