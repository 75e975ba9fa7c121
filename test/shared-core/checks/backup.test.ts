import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { backupDump } from '../../../shared-core/src/index.js';
import { demoDump } from '../../support/demo.js';
import { edited } from '../../support/edits.js';

describe('the backup that balance is counted from', () => {
  const dump = demoDump('rear-body.cfgdump');
  const backup = demoDump('rear-body.as-found.cfgdump');

  it('is the one that the dump names', () => {
    assert.equal(backupDump(dump, { kind: 'read', dump: backup }), backup);
  });

  it('is none where that is of another vehicle, part or software level, or the dump itself', () => {
    for (const [here, there] of [
      ['@vin 0DEM0T4X5TA020418', '@vin 0DEM0T4X3TA020417'],
      ['@part RB-2041-07', '@part RB-2041-09'],
      ['@software 0311', '@software 0299'],
    ] as const) {
      const other = edited(backup, (text) => text.replace(here, there));
      assert.notDeepEqual(other.rows, backup.rows);
      assert.equal(backupDump(dump, { kind: 'read', dump: other }), undefined, there);
    }
    assert.equal(backupDump(dump, { kind: 'itself' }), undefined);
    assert.equal(backupDump(dump, { kind: 'none' }), undefined);
  });
});
