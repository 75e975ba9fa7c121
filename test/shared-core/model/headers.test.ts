import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { changeDump } from '../../../shared-core/src/model/gate.js';
import { headersIn, headerValue, headerValues, repeatedHeaders } from '../../../shared-core/src/model/headers.js';
import { isOwnBackup, otherIdentity, whyNotThisModule } from '../../../shared-core/src/model/identity.js';
import { type Dump, isSealed } from '../../../shared-core/src/model/index.js';
import { sealOf } from '../../../shared-core/src/model/seal.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const profile = profileOf({ ...LINES, appliesTo: { part: ['A*'] } });
const of = (head: string) => lines(profile, head + LINES_TEXT);
const codes = (dump: Dump) => checkDump(loaded(dump, SOUND)).map(({ code, row }) => `${row} ${code}`);
const SEAL = sealOf(of(''));
const write = (dump: Dump) =>
  changeDump(dump, { writes: [], edits: [{ row: dump.rows.length - 2, start: 3, end: 5, text: '00' }] });

describe('a header that may be given once', () => {
  it('is an error where it is given again with another value, and not with the same or as a remark', () => {
    for (const name of ['part', 'software', 'vehicle', 'module', 'taken', 'seal'])
      assert.ok(codes(of(`@${name} 2026-01-01\n@${name} 2026-01-02\n`)).includes('1 header-repeated'), name);
    for (const head of ['@part A1\n@part a1\n', '@part A1\n@note x\n@note y\n@fitted a\n@fitted b\n'])
      assert.deepEqual(codes(of(head)), [], head);
  });

  it('may be given several times where it lists something, names a file or is a remark, and not where it says one thing', () => {
    const again = (name: string, one = '1', other = '2') =>
      repeatedHeaders(of(`@${name} ${one}\n@${name} ${other}\n`)).map(({ row }) => row);
    for (const name of ['note', 'fitted', 'absent', 'profile', 'backup', 'unknown'])
      assert.deepEqual(again(name), [], name);
    for (const name of ['vehicle', 'vin', 'part', 'software', 'module', 'taken', 'seal', 'start'])
      assert.deepEqual(again(name), [1], name);
    assert.deepEqual(again('vin', '', 'A'), []);
    assert.deepEqual(again('vin', 'A', ''), []);
    assert.deepEqual(again('vin', 'a', 'A'), []);
  });

  it('that is empty says nothing', () => {
    const dump = of('@vin\n@vin A\n@vin\n@vin B\n');
    assert.equal(headerValue(dump, 'vin'), 'A');
    assert.deepEqual(headerValues(dump, 'vin'), ['A', 'B']);
    assert.equal(headerValue(dump, 'part'), undefined);
  });

  it('that is an empty seal protects the dump all the same, and does not hold', () => {
    assert.equal(isSealed(of('@seal\n')), true);
    assert.equal(of('@seal\n').sealHolds, false);
    assert.equal(isSealed(of('@Seal \n')), true);
  });

  it('is found in a text without reading its records, as it is found in the dump', () => {
    const found = (name: string, text: string) =>
      headersIn(name, text).map(({ row, header }) => `${row} ${header.name} ${header.value}`);
    assert.deepEqual(found('a.cfgdump', `# a\n@vin A\n1: 01\n@part B`), ['1 vin A', '3 part B']);
    assert.deepEqual(found('a.hex', '; @vin A\r\n:00000001FF\r\n; @part B\r\n'), ['0 vin A', '2 part B']);
    assert.deepEqual(found('a.cfgdump', '1: 01\n# a@b\n'), []);
    assert.deepEqual(found('a.cfgdump', '1: 01\n'), []);
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
    const backups = write(of('@backup a.cfgdump\n@backup b.cfgdump\n'));
    assert.match(backups.ok ? '' : say(backups.why), /^Row 2: "@backup" is given twice/);
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

  it('that is misspelt keeps the file as it is, and is named', () => {
    for (const head of ['sael', 'sealed', 'Sael', 'mark']) {
      const written = write(of(`@part A1\n@${head} ${SEAL}\n`));
      assert.match(written.ok ? '' : say(written.why), new RegExp(`^Row 2: "@${head}" is probably meant as "@seal"`));
    }
    const other = write(of('@part A1\n@mark blue\n'));
    assert.doesNotMatch(other.ok ? '' : say(other.why), /seal/);
  });

  it('of an unknown form is told from a broken one', () => {
    const said = (seal: string) =>
      checkDump(loaded(of(`@part A1\n@seal ${seal}\n`), SOUND)).map(({ message }) => say(message));
    assert.match(said('md5:00')[0] ?? '', /^This seal is not of a form known here/);
    assert.match(said(`sha256:${'0'.repeat(64)}`)[0] ?? '', /^The seal is broken/);
  });
});
