import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import {
  dataBytes,
  firstLabel,
  labelAt,
  lastLabel,
  orderOf,
  positionOf,
  sumBytes,
} from '../../../shared-core/src/profile/lineLabels.js';
import type { LineGeometry } from '../../../shared-core/src/profile/profile.js';
import { profileOf } from '../../support/smallDumps.js';

function geometryOf(lines: object): LineGeometry {
  const { geometry } = profileOf({ lines });
  assert.ok(geometry?.kind === 'lines');
  return geometry;
}

/** Geometries with all their labels in order, and labels that are none of them. */
const GEOMETRIES: readonly (readonly [what: string, lines: object, labels: readonly (number | string)[]])[] = [
  ['one stretch', { from: 3, to: 6, data: 2, sum: 1 }, [3, 4, 5, 6]],
  ['one stretch in steps', { from: 16, to: 64, step: 16, data: 2 }, [16, 32, 48, 64]],
  ['one line', { from: 0, to: 0, data: 2 }, [0]],
  [
    'several stretches, written in any order',
    [
      { from: 10, to: 16, step: 2, data: 5 },
      { from: 1, to: 2, data: 3, sum: 1 },
      { from: 20, to: 21, data: { 20: 7, 21: 8 }, sum: 2 },
    ],
    [1, 2, 10, 12, 14, 16, 20, 21],
  ],
  ['labels of two numbers', { from: '2-3', to: '2-5', data: 4, sum: 1 }, ['2-3', '2-4', '2-5']],
  [
    'several stretches with labels of two numbers',
    [
      { from: '1-1', to: '1-2', data: 3 },
      { from: '1-8', to: '1-9', data: 4, sum: 1 },
      { from: '3-0', to: '3-4', step: 4, data: { '3-0': 5, '3-4': 6 } },
    ],
    ['1-1', '1-2', '1-8', '1-9', '3-0', '3-4'],
  ],
];
const STRANGE = [7, 99, -1, 15, 18, '1', '1-3', '1-7', '2-1', '3-1', '3-2', '3-5', '4-1', '1-01', '1-1-1', 'total', ''];

describe('the labels of lines', () => {
  for (const [what, lines, labels] of GEOMETRIES) {
    const geometry = geometryOf(lines);

    it(`are at their places, first to last: ${what}`, () => {
      assert.equal(geometry.count, labels.length);
      assert.deepEqual(
        labels.map((_, at) => labelAt(geometry, at)),
        labels,
      );
      assert.deepEqual(
        labels.map((label) => positionOf(geometry, label)),
        labels.map((_, at) => at),
      );
      assert.deepEqual([firstLabel(geometry), lastLabel(geometry)], [labels[0], labels.at(-1)]);
    });

    it(`are none but these, and others have no bytes: ${what}`, () => {
      for (const label of STRANGE.filter((one) => !labels.includes(one)))
        assert.deepEqual(
          [positionOf(geometry, label), dataBytes(geometry, label), sumBytes(geometry, label)],
          [-1, 0, 0],
          String(label),
        );
    });

    it(`are sorted with others between them: ${what}`, () => {
      const places = labels.map((label) => orderOf(geometry, label) as number);
      assert.deepEqual(
        places,
        [...places].sort((a, b) => a - b),
      );
      assert.equal(new Set(places).size, places.length);
      assert.equal(orderOf(geometry, 'total'), undefined);
    });
  }

  it('that are none of the profile are sorted between those around them', () => {
    const several = geometryOf(GEOMETRIES[5]?.[1] ?? {});
    const between = (before: string | undefined, label: string, after: string | undefined) => {
      const place = orderOf(several, label) as number;
      assert.ok(before === undefined || (orderOf(several, before) as number) < place, label);
      assert.ok(after === undefined || place < (orderOf(several, after) as number), label);
    };
    between(undefined, '0-1', '1-1');
    between('1-2', '1-5', '1-8');
    between('1-9', '2-1', '3-0');
    between('3-4', '3-9', undefined);
    between('3-4', '7-1', undefined);
    const single = geometryOf({ from: 3, to: 6, data: 1 });
    assert.deepEqual([orderOf(single, 2), orderOf(single, 9)], [2, 9]);
  });

  it('say how many bytes of data and of a sum their line has', () => {
    const mixed = geometryOf(GEOMETRIES[3]?.[1] ?? {});
    const bytes = (label: number | string, of = mixed) => [dataBytes(of, label), sumBytes(of, label)];
    assert.deepEqual(
      [1, 2, 10, 16, 20, 21].map((label) => bytes(label)),
      [
        [3, 1],
        [3, 1],
        [5, 0],
        [5, 0],
        [7, 2],
        [8, 2],
      ],
    );
    const several = geometryOf(GEOMETRIES[5]?.[1] ?? {});
    assert.deepEqual(
      ['1-1', '1-8', '3-0', '3-4'].map((label) => bytes(label, several)),
      [
        [3, 0],
        [4, 1],
        [5, 0],
        [6, 0],
      ],
    );
  });

  it('are the same whether a profile writes one stretch as such or as a list', () => {
    const stretch = { from: 3, to: 6, data: 2, sum: 1 };
    const read = (lines: unknown) => readProfile(JSON.stringify({ format: 1, lines })).profile.geometry;
    assert.deepEqual(read([stretch]), read(stretch));
  });
});
