// Bytes that are planned, and that no module was seen to hold, are no evidence of what a car has.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import type { BackupStatus } from '../../../shared-core/src/checks/backup.js';
import type { Dump } from '../../../shared-core/src/model/index.js';
import { asRead } from '../../../shared-core/src/workspace/index.js';
import { loaded } from '../../support/loaded.js';
import { LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const profile = profileOf(LINES);
const BACKUP = lines(profile, LINES_TEXT);
/** Line 2 of other bytes, its sum and the file sum right. */
const CHANGED = LINES_TEXT.replace('2: 01 10 00 | 11', '2: 00 10 00 | 10').replace('02 27', '02 26');
const read: BackupStatus = { kind: 'read', dump: BACKUP };
const inWork = (text: string) => lines(profile, `@backup b.cfgdump\n${text}`);
const of = (dump: Dump, backup: BackupStatus, { there = false, pair = false } = {}) => {
  const one = { ...loaded(dump, { kind: 'read' }, backup), name: 'a', file: 'a.cfgdump', backupFile: 'b.cfgdump' };
  const among = {
    isThere: (file: string) => there && file === 'b.cfgdump',
    pair: pair ? ['b.cfgdump', 'a.cfgdump'] : [],
  };
  const { dump: found, remarks } = asRead(one, among);
  return { found, says: remarks.map((remark) => say(remark)) };
};

describe('a dump as it was read from the module', () => {
  it('is itself where it names no backup, or holds what that does', () => {
    for (const [dump, backup] of [
      [lines(profile, CHANGED), { kind: 'none' }],
      [inWork(LINES_TEXT), read],
      // Whether its seal holds does not matter where nothing was changed.
      [inWork(LINES_TEXT), { kind: 'read', dump: lines(profile, `@seal sha256:00\n${LINES_TEXT}`) }],
    ] as const)
      assert.deepEqual(of(dump, backup), { found: dump, says: [] });
  });

  it('is its backup where it was changed since, which is said', () => {
    assert.deepEqual(of(inWork(CHANGED), read), {
      found: BACKUP,
      says: ['a: It was changed since its backup. The backup is compared in its place.'],
    });
  });

  it('is none where the backup is among the dumps itself, so that no car counts twice', () => {
    assert.deepEqual(of(inWork(CHANGED), read, { there: true }), {
      found: undefined,
      says: ['Not compared: a. It was changed since its backup.'],
    });
  });

  it('is itself where it is one of a pair with its backup, which is said', () => {
    const dump = inWork(CHANGED);
    assert.deepEqual(of(dump, read, { there: true, pair: true }), {
      found: dump,
      says: ['a: It was changed since its backup.'],
    });
  });

  it('is none where the backup cannot be read or is none of it, with the reason', () => {
    for (const [backup, why] of [
      [{ kind: 'itself' }, /^Not compared: a\. The backup is this file itself\./],
      [{ kind: 'read', dump: lines(profile, '1: A1 B2 C3 | 16\n') }, /^Not compared: a\. The backup is not whole: /],
    ] as const) {
      const { found, says } = of(inWork(CHANGED), backup);
      assert.equal(found, undefined);
      assert.match(says.join('\n'), why);
    }
  });
});
