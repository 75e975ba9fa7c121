import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { layoutOf, vertically } from '../../client/src/pages/inPage/byteOverviewLayout.js';

describe('the page of all bytes', () => {
  const columnsIn = (room: number, widest: number) => layoutOf(room, widest, false).columns;

  it('has whole lines where there is room for them', () => {
    assert.deepEqual(layoutOf(7 * 34, 7, false), { columns: 7, parts: 1, step: 26 });
    assert.deepEqual(layoutOf(17 * 11, 17, true), { columns: 17, parts: 1, step: 12 });
  });

  it('breaks lines into parts of 16, 8, 4, 2 or 1 bytes where there is not', () => {
    assert.equal(columnsIn(16 * 34, 17), 16);
    assert.equal(columnsIn(15 * 34, 17), 8);
    assert.equal(columnsIn(6 * 34, 7), 4);
    assert.equal(columnsIn(3 * 34, 7), 2);
    assert.equal(columnsIn(10, 7), 1);
    assert.equal(layoutOf(8 * 34, 17, false).parts, 3);
  });

  it('is there before its lines are', () => {
    assert.deepEqual(layoutOf(0, 0, false), { columns: 1, parts: 1, step: 26 });
  });

  it('is walked up and down by what stands above and below', () => {
    const layout = layoutOf(4 * 34, 7, false);
    const lengths = [7, 7, 2];
    const walk = (at: number, byte: number, by: number) => {
      const place = vertically({ at, byte }, by, layout, (line) => lengths[line]);
      return [place.at, place.byte];
    };
    assert.deepEqual(walk(0, 1, 1), [0, 5]);
    assert.deepEqual(walk(0, 5, 1), [1, 1]);
    assert.deepEqual(walk(1, 2, -1), [0, 6]);
    assert.deepEqual(walk(0, 2, 3), [1, 6]);
    assert.deepEqual(walk(0, 1, -1), [0, 1], 'nothing is above the first');
    assert.deepEqual(walk(2, 1, 9), [2, 1], 'nothing is below the last');
    assert.deepEqual(walk(0, 3, 99), [2, 3], 'the caller takes the nearest byte of a line that is shorter');
  });
});
