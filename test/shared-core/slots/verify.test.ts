import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { backupProblems } from '../../../shared-core/src/checks/backup.js';
import { guardedDifferences } from '../../../shared-core/src/compare/guarded.js';
import { compareDumps, comparisonInWords, isExplained } from '../../../shared-core/src/compare/index.js';
import { textOfRows } from '../../../shared-core/src/format/index.js';
import { verificationInWords, verifyReadBack } from '../../../shared-core/src/jobs/index.js';
import { DATA, EMPTY, record, slotted, torn } from '../../support/slots.js';
import { image, UNSAID } from '../../support/smallDumps.js';

const dumpOf = (slots: readonly (readonly number[])[]) => slotted(slots);

const fogOn = DATA.map((byte, i) => (i === 2 ? 0x31 : byte));
const counted = fogOn.map((byte, i) => (i === 1 ? 0x09 : byte));

const verified = (planned: readonly (readonly number[])[], read: readonly (readonly number[])[]) => {
  const verification = verifyReadBack(dumpOf(planned), dumpOf(read), undefined);
  return { ...verification, says: verificationInWords(verification).map((one) => say(one)) };
};

describe('a read-back of a record that moves', () => {
  it('is what was planned where the module has written the same record into the next slot', () => {
    const planned = [record(17, fogOn), record(16), record(15)];
    const { matches, says } = verified(planned, [record(17, fogOn), record(18, counted), record(15)]);
    assert.ok(matches, says.join('\n'));
    assert.deepEqual(says.slice(1), [
      'The module has written "record" anew: slot 1 (number 17) was in force, slot 2 (number 18) is now, with the same record.',
      ...UNSAID,
    ]);
  });

  it('is so where the next slots held none before, locked bytes included', () => {
    const { matches, says, foreign } = verified(
      [record(17, fogOn), EMPTY, EMPTY],
      [record(17, fogOn), record(18, fogOn), record(19, fogOn)],
    );
    assert.equal(foreign, undefined);
    assert.ok(matches, says.join('\n'));
  });

  it('is so where it has gone round to the same slot', () => {
    const { matches, says } = verified(
      [record(17, fogOn), record(16), record(15)],
      [record(20, fogOn), record(18, fogOn), record(19, fogOn)],
    );
    assert.ok(matches, says.join('\n'));
  });

  it('is not what was planned where the new record has the old value, though no byte of it is another than before', () => {
    const { matches, says } = verified(
      [record(17, fogOn), record(16), record(15)],
      [record(17, fogOn), record(18), record(15)],
    );
    assert.ok(!matches);
    assert.match(
      says.join('\n'),
      /its record has other bytes \(1, the first is byte 4 of the slot, from 0\)\. Fog lamps is "no", not "yes"\./,
    );
    assert.match(says[0] ?? '', /NOT what was planned/);
  });

  it('is not what was planned where the slot was not written whole, so that an older record is in force', () => {
    const { matches, says } = verified([record(17, fogOn), record(16), record(15)], [torn(17), record(16), record(15)]);
    assert.ok(!matches);
    assert.match(
      says.join('\n'),
      /Slot 2 of "record" \(number 16\) is in force in what was read, which is no later record than that of the plan \(slot 1, number 17\)/,
    );
  });

  it('is not what was planned where a locked byte of the new record is another', () => {
    const locked = fogOn.map((byte, i) => (i === 0 ? 0xa2 : byte));
    const { matches, foreign } = verified(
      [record(17, fogOn), record(16), record(15)],
      [record(17, fogOn), record(18, locked), record(15)],
    );
    assert.ok(!matches);
    assert.match(
      foreign === undefined ? '' : say(foreign),
      /^Address 0012 differs, which no work changes \(identity\)/,
    );
  });
});

describe('a comparison of a record that moves', () => {
  it('says which slot is in force now, and compares options by name', () => {
    const comparison = compareDumps(
      dumpOf([record(17), record(16), record(15)]),
      dumpOf([record(17), record(18, fogOn), record(15)]),
    );
    assert.ok(!isExplained(comparison));
    const says = comparisonInWords(comparison).map((one) => say(one));
    assert.equal(says[0], 'Fog lamps: no → yes');
    assert.match(
      says[1] ?? '',
      /^The module has written "record" anew: slot 1 \(number 17\) was in force, slot 2 \(number 18\) is now/,
    );
  });

  it('has nothing that is not explained where the record is the same', () => {
    const comparison = compareDumps(
      dumpOf([record(17), record(16), record(15)]),
      dumpOf([record(17), record(18), record(15)]),
    );
    assert.ok(
      isExplained(comparison),
      comparisonInWords(comparison)
        .map((one) => say(one))
        .join('\n'),
    );
    assert.deepEqual(comparison.guarded, []);
  });

  it('names a locked byte that the new record has otherwise, even where the slot held it before', () => {
    const locked = DATA.map((byte, i) => (i === 0 ? 0xa2 : byte));
    const [before, after] = [
      dumpOf([record(17), record(16, locked), record(15)]),
      dumpOf([record(17), record(18, locked), record(15)]),
    ];
    assert.equal(guardedDifferences(before, after).length, 1);
  });
});

describe('a backup of a record that moves', () => {
  it('has no locked byte changed where the module wrote the record into another slot since', () => {
    const [dump, backup] = [dumpOf([record(17), record(18), EMPTY]), dumpOf([record(17), EMPTY, EMPTY])];
    const named = image(dump.profile, '@backup b', textOfRows(dump.rows).trimEnd());
    const codes = backupProblems(named, { kind: 'read', dump: backup, file: 'b' }).map(({ code }) => code);
    assert.deepEqual(codes, []);
  });
});
