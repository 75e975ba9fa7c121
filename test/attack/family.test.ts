import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../shared-core/src/base/index.js';
import type { BackupStatus } from '../../shared-core/src/checks/backup.js';
import { checkDump } from '../../shared-core/src/checks/index.js';
import { bindText, type Dump } from '../../shared-core/src/model/index.js';
import { readProfile } from '../../shared-core/src/profile/index.js';
import { seedOf } from '../support/dice.js';
import { FAMILY_MEMBERS, type FamilyMember, unsealedBackup, unsoundBackups } from '../support/family.js';
import { harmIn } from '../support/oracle/harm.js';
import { randomModule } from '../support/randomModule.js';

const READ = { kind: 'read' } as const;

/** Problems of a member's dump in work with a backup of this text, those that say how other modules are left out. */
function problemsWith(member: FamilyMember, backupText: string | undefined, text = member.work): readonly string[] {
  const { profile, problems } = readProfile(JSON.stringify(member.profile));
  assert.deepEqual(
    problems.map(({ message }) => say(message)),
    [],
  );
  const dump = bindText(member.workFile, text, profile);
  const backup: BackupStatus =
    backupText === undefined
      ? { kind: 'none' }
      : { kind: 'read', dump: bindText(member.backupFile, backupText, profile) };
  return checkDump({ dump, profile: READ, backup, modules: () => [] }).map(
    ({ code, message, severity, row }) => `${severity} ${code} in row ${row + 1}: ${say(message)}`,
  );
}

function dumpOf(member: FamilyMember, text: string): Dump {
  return bindText(member.workFile, text, readProfile(JSON.stringify(member.profile)).profile);
}

describe('the family of test dumps', () => {
  for (const member of FAMILY_MEMBERS) {
    it(`${member.name}: is right in every respect, as are its backup and the backup without its seal`, () => {
      assert.deepEqual(problemsWith(member, member.backup), []);
      assert.deepEqual(problemsWith(member, unsealedBackup(member)), []);
      assert.equal(dumpOf(member, member.backup).sealHolds, true);
    });

    for (const { fault, text } of unsoundBackups(member)) {
      it(`${member.name}: a backup with ${fault} is no way back, whether or not a seal says so`, () => {
        const problems = problemsWith(member, text);
        assert.equal(problems.length, 1, problems.join('\n'));
        assert.match(problems[0] ?? '', /^error backup-(?:invalid|other-vehicle) /);
      });
    }
  }
});

describe('modules made at random', () => {
  it('have profiles without contradictions, and dumps that are right in every respect but for conditions', () => {
    for (let index = 0; index < 150; index++) {
      const member = randomModule(seedOf(7, index));
      const found = problemsWith(member, member.backup).filter((problem) => !/ option-(?:needs|value) /.test(problem));
      assert.deepEqual(found, [], JSON.stringify(member.profile));
    }
  });
});

describe('the oracle', () => {
  for (const member of FAMILY_MEMBERS) {
    it(`finds no harm in going back to the sealed backup of ${member.name}, and harm in every byte changed alone`, () => {
      const { profile, work, backup } = member;
      const body = backup.slice(backup.indexOf('\n\n'));
      const back = work.slice(0, work.indexOf('\n\n')) + body;
      assert.deepEqual(harmIn({ profile, before: work, after: back, backup }), []);
      // A byte changed alone leaves some sum wrong, or is in a protected place.
      const start = work.indexOf('\n\n') + 2;
      const digits = [...work.slice(start).matchAll(/(?<=[ <|=]|^:|[0-9A-F])[0-9A-F](?=[0-9A-F]{0,9})/gm)];
      assert.ok(digits.length > 20);
      for (const { index } of digits.filter((_, i) => i % 7 === 0)) {
        const at = start + index;
        const line = work.slice(work.lastIndexOf('\n', at) + 1, at);
        if (line === ':' || line === 'S' || /^ *\d*$/.test(line)) continue;
        const after = work.slice(0, at) + (work[at] === '0' ? '1' : '0') + work.slice(at + 1);
        assert.notDeepEqual(harmIn({ profile, before: work, after }), [], `${at}: ${line}`);
      }
    });
  }
});
