import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { checkDump, type Dump, isSealed, say } from '../../../shared-core/src/index.js';
import { changeDump } from '../../../shared-core/src/model/gate.js';
import { isOwnBackup, otherIdentity, whyNotThisModule } from '../../../shared-core/src/model/identity.js';
import { sealOf } from '../../../shared-core/src/model/seal.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const profile = profileOf({ ...LINES, appliesTo: { part: ['A*'] } });
const of = (head: string) => lines(profile, head + LINES_TEXT);
const codes = (dump: Dump) => checkDump(loaded(dump, SOUND)).map(({ code, row }) => `${row} ${code}`);
const SEAL = sealOf(of('').rows);
const write = (dump: Dump) =>
  changeDump(dump, { writes: [], edits: [{ row: dump.rows.length - 2, start: 3, end: 5, text: '00' }] });

describe('a header that may be given once', () => {
  it('is an error where it is given again with another value, and not with the same or as a remark', () => {
    for (const name of ['part', 'software', 'vehicle', 'module', 'taken', 'seal'])
      assert.ok(codes(of(`@${name} 2026-01-01\n@${name} 2026-01-02\n`)).includes('1 header-repeated'), name);
    for (const head of ['@part A1\n@part a1\n', '@part A1\n@note x\n@note y\n@fitted a\n@fitted b\n'])
      assert.deepEqual(codes(of(head)), [], head);
  });

  it('agrees only where each of its values does', () => {
    const both = of('@part A1\n@part B7\n');
    assert.deepEqual(otherIdentity(of('@part A1\n'), both), ['part', 'A1', 'B7']);
    assert.equal(whyNotThisModule(both)?.kind, 'other');
    assert.equal(isOwnBackup(of(''), both), false);
    assert.equal(isOwnBackup(both, both), false);
  });

  it('lets nothing be written while it says two things', () => {
    const twice = write(of('@part A1\n@part A2\n'));
    assert.match(twice.ok ? '' : say(twice.why), /^"@part" is here a second time with another value, "A2" \(row 2\)/);
  });
});

describe('a seal', () => {
  it('holds only where each one of the dump does', () => {
    const zeros = `sha256:${'0'.repeat(64)}`;
    assert.equal(of(`@seal ${SEAL}\n`).sealHolds, true);
    assert.equal(of(`@seal ${SEAL}\n@seal ${SEAL}\n`).sealHolds, true);
    assert.equal(of(`@seal ${SEAL}\n@seal ${zeros}\n`).sealHolds, false);
    assert.equal(of(`@seal ${zeros}\n@seal ${SEAL}\n`).sealHolds, false);
  });

  it('in another spelling protects the file and proves nothing', () => {
    for (const head of ['@Seal', '@SEAL', '@ seal']) {
      const dump = of(`@part A1\n${head} ${SEAL}\n`);
      assert.equal(dump.sealHolds, false, head);
      assert.ok(isSealed(dump), head);
      assert.ok(codes(dump).includes('1 seal-broken'), head);
      const written = write(dump);
      assert.match(written.ok ? '' : say(written.why), /sealed backup and stays as it is/, head);
    }
  });

  it('of an unknown form is told from a broken one', () => {
    const said = (seal: string) =>
      checkDump(loaded(of(`@part A1\n@seal ${seal}\n`), SOUND)).map(({ message }) => say(message));
    assert.match(said('md5:00')[0] ?? '', /^This seal is not of a form known here/);
    assert.match(said(`sha256:${'0'.repeat(64)}`)[0] ?? '', /^The seal is broken/);
  });
});
