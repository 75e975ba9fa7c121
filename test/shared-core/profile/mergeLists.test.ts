// By what entries of a profile's lists are known where a profile extends another.
import assert from 'node:assert/strict';
import { getNodeValue, parseTree } from 'jsonc-parser';
import { describe, it } from 'mocha';
import { MERGED_LISTS, mergedList } from '../../../shared-core/src/profile/mergeLists.js';
import { merged } from '../../../shared-core/src/profile/mergePatch.js';

const idOf = (list: string, entry: object) => {
  const node = parseTree(JSON.stringify(entry));
  assert.ok(node);
  return MERGED_LISTS[list]?.idOf(node);
};

/** Entries that are the same in each row, and differ from row to row. */
const PLACES: readonly (readonly object[])[] = [
  [
    { line: 2, byte: 3 },
    { line: '0x2', bytes: '3' },
    { line: 2, bytes: '3-3' },
    { line: 2, bytes: 3, why: 'any' },
  ],
  [{ line: 2, bytes: '3-4' }],
  [{ line: 2, bytes: '1-3' }],
  [{ line: 3, byte: 3 }],
  [{ line: '3-10', byte: 3 }],
  [{ line: 2 }, { line: '2' }],
  [{ address: 16 }, { address: '0x10', length: 1 }, { address: 16, bytes: 1 }, { from: 16, to: 16 }],
  [
    { address: 16, length: 4 },
    { address: 16, bytes: 4 },
    { from: '0x10', to: 19 },
  ],
  [{ address: 17 }],
  [
    { slot: 'a', offset: 1 },
    { slot: 'a', offset: '1', length: 1 },
    { slot: 'a', offset: 1, bytes: 1 },
  ],
  [
    { slot: 'a', offset: 1, length: 2 },
    { slot: 'a', offset: 1, bytes: 2 },
  ],
  [{ slot: 'a', offset: 2 }],
  [{ slot: 'b', offset: 1 }],
];

const COPIES: readonly (readonly object[])[] = [
  [{ place: { line: 2, byte: 3, length: 2 } }, { place: { line: 2, bytes: '3-4' }, at: [3], name: 'any' }],
  [{ place: { line: 2, byte: 3 } }],
  [{ lines: '1-3' }],
  [{ lines: '4-6' }],
  [{ lines: 3 }, { lines: '3', at: [4] }],
  [{ place: { address: 1, length: 2 } }],
];

const OPTIONS = [[{ id: 'a', line: 1 }, { id: 'a' }], [{ id: 'A' }], [{ id: 'a.1' }]];

const nodeOf = (value: unknown) => {
  const node = parseTree(JSON.stringify(value));
  assert.ok(node);
  return node;
};

describe('a value over another', () => {
  it('that is no object takes its place, whatever was there', () => {
    for (const value of ['x', 5, true, null, [1]])
      for (const under of [{ a: 1 }, [2], 'y']) {
        const node = nodeOf(value);
        assert.equal(merged(nodeOf(under), node), node);
      }
  });
});

describe('a list over another', () => {
  const over = (under: readonly object[], patch: readonly object[]) => {
    const { locked } = MERGED_LISTS;
    assert.ok(locked);
    const list = mergedList(locked, nodeOf(under), { node: nodeOf(patch), problems: [] });
    return JSON.parse(JSON.stringify(getNodeValue(list)));
  };
  const LINE = { line: 2, byte: 1 };

  it('takes out every entry of a place, however often and in whatever way it is there', () => {
    const twice = [LINE, { line: 3 }, { line: '0x2', bytes: '1', why: 'x' }, LINE];
    assert.deepEqual(over(twice, [{ ...LINE, entry: null }]), [{ line: 3 }]);
  });

  it('changes the first entry of a place, and adds a second one of the patch', () => {
    assert.deepEqual(
      over(
        [LINE, LINE],
        [
          { ...LINE, why: 'a' },
          { ...LINE, why: 'b' },
        ],
      ),
      [{ ...LINE, why: 'a' }, LINE, { ...LINE, why: 'b' }],
    );
  });
});

describe('an entry of a list', () => {
  for (const [list, rows] of [
    ['locked', PLACES],
    ['volatile', PLACES],
    ['balance', PLACES],
    ['copies', COPIES],
    ['options', OPTIONS],
  ] as const)
    it(`of "${list}" is the same however it is written`, () => {
      const ids = rows.map((row) => new Set(row.map((entry) => idOf(list, entry))));
      for (const [i, some] of ids.entries()) {
        assert.equal(some.size, 1, JSON.stringify(rows[i]));
        assert.ok(!some.has(undefined), JSON.stringify(rows[i]));
      }
      assert.equal(new Set(ids.flatMap((some) => [...some])).size, rows.length);
    });

  it('whose place is unclear is known by nothing', () => {
    for (const entry of [{}, { line: 'x', byte: 1 }, { from: 1 }, { to: 1 }, { address: 'x' }, { why: 'any' }])
      assert.equal(idOf('locked', entry), undefined, JSON.stringify(entry));
    for (const entry of [{}, { place: 5 }, { name: 'any' }]) assert.equal(idOf('copies', entry), undefined);
    for (const entry of [{}, { id: 5 }]) assert.equal(idOf('options', entry), undefined);
  });
});
