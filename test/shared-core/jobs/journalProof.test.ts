import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import type { Consent } from '../../../shared-core/src/actions/change.js';
import { phrase, say } from '../../../shared-core/src/base/index.js';
import type { BackupStatus } from '../../../shared-core/src/checks/backup.js';
import type { ProfileStatus } from '../../../shared-core/src/checks/loadedDump.js';
import { proveChange } from '../../../shared-core/src/jobs/journalProof.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { sealOf } from '../../../shared-core/src/model/seal.js';
import type { Profile } from '../../../shared-core/src/profile/index.js';
import { loaded, SOUND } from '../../support/loaded.js';
import { LINES, LINES_TEXT, lines, profileOf } from '../../support/smallDumps.js';

const PROFILE = profileOf(LINES);
const FOG_OFF = LINES_TEXT.replace('01 10 00 | 11', '00 10 00 | 10').replace('02 27', '02 26');

interface Given {
  readonly profile?: Profile;
  readonly status?: ProfileStatus;
  readonly backup?: BackupStatus;
  readonly consent?: Consent;
}

/** Why a dump may not become what a journal says; nothing where it may. */
function why(before: string, after: string, { profile = PROFILE, status = SOUND, backup, consent }: Given = {}) {
  const all = { ...loaded(lines(profile, before), status, backup), file: 'a', name: 'a.cfgdump' };
  const proof = proveChange({ ...all, profileFile: undefined, backupFile: undefined }, after, consent);
  return proof.ok ? '' : say(proof.why);
}

describe('what a journal may make of a dump', () => {
  it('is bytes that the gate lets through, with every line sum right, or nothing new', () => {
    assert.equal(why(LINES_TEXT, FOG_OFF), '');
    assert.equal(why(FOG_OFF, LINES_TEXT), '');
    assert.equal(why(LINES_TEXT, LINES_TEXT), '');
    assert.equal(why(`# a remark\n${LINES_TEXT}`, `# a remark\n${FOG_OFF}`), '');
    assert.equal(why(LINES_TEXT.trimEnd(), FOG_OFF.trimEnd()), '');
  });

  it('is nothing where no profile that can be read explains the dump', () => {
    for (const status of [{ kind: 'none' }, { kind: 'unreadable', why: phrase('gone') }] as const)
      assert.match(why(LINES_TEXT, FOG_OFF, { status }), /^No profile that can be read explains it/);
  });

  const MORE: readonly (readonly [what: string, before: string, after: string])[] = [
    ['a remark', `# one\n${LINES_TEXT}`, `# two\n${FOG_OFF}`],
    ['a header', `@vin A\n${LINES_TEXT}`, `@vin B\n${FOG_OFF}`],
    ['a row that is new', LINES_TEXT, `# new\n${FOG_OFF}`],
    ['a row at the end that is new', LINES_TEXT, `${FOG_OFF}# new\n`],
    ['a row at the end that is gone', `${LINES_TEXT}# gone\n`, FOG_OFF],
    ['the last line, which is gone', LINES_TEXT, FOG_OFF.replace(/^total.*\n/m, '')],
    ['a label', LINES_TEXT, FOG_OFF.replace('3:', '4:')],
    ['a sign between bytes', LINES_TEXT, FOG_OFF.replace('00 10 00 |', '00 10 00 /')],
    ['a blank between bytes', LINES_TEXT, FOG_OFF.replace('00 10', '00  10')],
    ['something behind a line', LINES_TEXT, FOG_OFF.replace('| 10', '| 10 ')],
    ['a line end', LINES_TEXT, FOG_OFF.replace('\n', '\r\n')],
    ['the last line end', LINES_TEXT, FOG_OFF.trimEnd()],
    ['a whole line that is gone', LINES_TEXT, FOG_OFF.replace(/^3.*\n/m, '')],
    ['everything', LINES_TEXT, ''],
  ];
  for (const [what, before, after] of MORE)
    it(`is nothing that changes more than bytes: ${what}`, () =>
      assert.match(why(before, after), /^More than bytes of its lines would be changed/));

  it('is no row that could not be read afterwards', () => {
    assert.match(why(LINES_TEXT, LINES_TEXT.replace('3: 00', '3: 0x')), /Row 3 could not be read/);
  });

  it('is no locked byte, but for what the sealed backup of this dump holds', () => {
    const changed = LINES_TEXT.replace('A1 B2 C3 | 16', 'A1 B3 C2 | 16');
    const sealed = (head: string): BackupStatus => ({
      kind: 'read',
      dump: lines(PROFILE, `${head}@seal ${sealOf(lines(PROFILE, LINES_TEXT))}\n${LINES_TEXT}`),
    });
    assert.match(why(LINES_TEXT, changed), /Byte 2 of line 1 is locked/);
    assert.match(why(changed, LINES_TEXT), /Byte 2 of line 1 is locked/);
    assert.equal(why(changed, LINES_TEXT, { backup: sealed('') }), '');
    assert.match(why(`@vin A\n${changed}`, `@vin A\n${LINES_TEXT}`, { backup: sealed('@vin B\n') }), /is locked/);
    assert.match(why(`@vin A\n${changed}`, `@vin A\n${LINES_TEXT}`, { backup: sealed('') }), /is locked/);
  });

  it('has no line whose sum is wrong, also where it was wrong before and does not change', () => {
    const torn = (text: string) => text.replace('3: 00 00 00 | 00', '3: 00 00 00 | 05');
    assert.match(why(torn(LINES_TEXT), torn(FOG_OFF)), /^The sum of line 3 would be wrong after this change/);
    assert.equal(why(torn(LINES_TEXT), FOG_OFF), '');
    assert.match(why(LINES_TEXT, torn(FOG_OFF)), /^The sum of line 3 would be wrong/);
  });

  it('is confirmed by a person where nothing says that the profile is for this module', () => {
    const profile = profileOf({ ...LINES, appliesTo: { part: ['A*'] } });
    assert.match(why(LINES_TEXT, FOG_OFF, { profile }), /this dump has no "@part"/);
    assert.equal(why(LINES_TEXT, FOG_OFF, { profile, consent: { unconfirmed: true } }), '');
  });

  it('of an image is bytes of its records with their sums', () => {
    const profile = profileOf({ addresses: { from: 0, to: 3 } });
    const image = (record: string) => bindText('a.hex', `${record}\n:00000001FF\n`, profile);
    const prove = (before: string, after: string) => {
      const all = { ...loaded(image(before), SOUND), file: 'a', name: 'a.hex' };
      const proof = proveChange({ ...all, profileFile: undefined, backupFile: undefined }, `${after}\n:00000001FF\n`);
      return proof.ok ? '' : say(proof.why);
    };
    assert.equal(prove(':0400000001020304F2', ':0400000002020304F1'), '');
    assert.match(prove(':0400000001020304F2', ':0400000002020304F2'), /sum of line .* would be wrong/);
    assert.match(prove(':0400000001020304F2', ':0400010001020304F1'), /^More than bytes/);
  });
});

describe('what a journal may make of a hex view', () => {
  it('is bytes with the characters beside them, and no others', () => {
    const profile = profileOf({ addresses: { from: 0, to: 3 } });
    const before = '00000000: 00 00 41 00  ..A.\n';
    const prove = (after: string) => {
      const dump = bindText('a.xxd', before, profile);
      const all = { ...loaded(dump, SOUND), file: 'a', name: 'a.xxd', profileFile: undefined, backupFile: undefined };
      const proof = proveChange(all, after);
      return proof.ok ? '' : say(proof.why);
    };
    assert.equal(prove('00000000: 00 00 42 00  ..B.\n'), '');
    assert.notEqual(prove('00000000: 00 00 42 00  ..A.\n'), '');
    assert.notEqual(prove('00000000: 00 00 41 00  ..B.\n'), '');
    assert.match(prove('00000001: 00 00 42 00  ..B.\n'), /^More than bytes/);
  });
});
