import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { compareDumps, comparisonInWords, type Dump, say, textOfRows } from '../../../shared-core/src/index.js';
import { afterWrites } from '../../../shared-core/src/model/byteWrite.js';
import { setOption } from '../../../shared-core/src/options/setOption.js';
import { freeCells } from '../../../shared-core/src/repair/freeCells.js';
import { rebalance } from '../../../shared-core/src/repair/rebalance.js';
import { demoDump, dumpOf } from '../../support/demo.js';

const found = demoDump('rear-body.as-found.cfgdump');
const edited = (change: (text: string) => string): Dump => dumpOf(change(textOfRows(found.rows)), found.profile);
const reasons = (after: Dump) =>
  compareDumps(found, after).lines.map(({ label, bytes }) => [label, bytes.map(({ reason }) => reason)]);

/** The demo with its socket set and the difference taken up by a line that the profile does not list. */
function balancedWithLine(label: number): Dump {
  const [option] = found.profile.options;
  assert.ok(option);
  const set = setOption(found, option, 2n);
  assert.ok(set.ok);
  const changed = afterWrites(found, set.value);
  const row = found.layout.rowOf(label) as number;
  const repair = rebalance(changed, freeCells(changed, row), [0]);
  assert.ok(repair.ok);
  const lineSum = afterWrites(changed, repair.value.writes);
  const text = textOfRows(lineSum.rows).replace('FF | 88', 'FF | A8');
  return dumpOf(text, found.profile);
}

describe('the comparison of two dumps', () => {
  it('calls a line that took up the difference a balance, also where the profile does not list it', () => {
    assert.deepEqual(reasons(balancedWithLine(14)), [
      [4, ['option', 'line-sum']],
      [14, ['balance', 'line-sum']],
    ]);
  });

  it('explains nothing where the kept sum does not come out', () => {
    const after = edited((text) => text.replace('14: 20', '14: 21'));
    assert.deepEqual(reasons(after), [[14, ['unexplained']]]);
  });

  it('explains nothing where no option was changed, or where two lines took up something', () => {
    const two = edited((text) => text.replace('14: 20 00', '14: 21 00').replace('15: 61', '15: 60'));
    assert.deepEqual(
      reasons(two).map(([, all]) => all),
      [['unexplained'], ['unexplained']],
    );
    const one = edited((text) => text.replace('14: 20 00 14', '14: 21 00 13'));
    assert.deepEqual(reasons(one), [[14, ['unexplained', 'unexplained']]]);
  });

  it('never calls a locked byte a balance', () => {
    const balanced = textOfRows(balancedWithLine(14).rows);
    const after = dumpOf(balanced.replace('14: 00 00', '14: 20 00').replace(' 1: 06', ' 1: E6'), found.profile);
    assert.ok(reasons(after).some(([label, all]) => label === 1 && (all as string[])[0] === 'locked'));
  });

  for (const [what, change] of [
    ['a line that cannot be read on either side', (text: string) => text.replace('14: 20', '14: 2O')],
    ['a line that stands twice', (text: string) => `${text}14: 00 00 00 00 00 00 | 00\n`],
  ] as const) {
    it(`${what} is named, and the dumps are not called the same`, () => {
      const after = edited(change);
      for (const [a, b] of [
        [after, after],
        [found, after],
        [after, found],
      ] as const) {
        const comparison = compareDumps(a, b);
        assert.equal(comparison.identical, false);
        assert.deepEqual(comparison.uncompared, [14]);
        assert.match(
          comparisonInWords(comparison)
            .map((said) => say(said))
            .join('\n'),
          /Line 14 .*not compared/,
        );
      }
    });
  }

  it('calls a dump the same as itself', () => {
    assert.equal(compareDumps(found, found).identical, true);
  });
});
