import { changeDump } from '../../../shared-core/src/model/gate.js';
import { bindText, whyNotWritable } from '../../../shared-core/src/model/index.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { diceOf } from '../../support/dice.js';
import { FAMILY_MEMBERS } from '../../support/family.js';
import { faultsOf, faultyProfile } from '../../support/profileFaults.js';
import { randomModule } from '../../support/randomModule.js';
import { type Area, failureOf } from '../area.js';

const FAMILY_FAULTS = FAMILY_MEMBERS.flatMap((member) => faultsOf(member.profile).map((fault) => ({ member, fault })));

/** Every key of every profile misspelled, doubled and of a wrong type: each is a problem, and nothing is written by it. */
export const profiles: Area = {
  name: 'profiles',
  share: 15_000,
  open: () => ({
    run: async (seed) => {
      const dice = diceOf(seed);
      const any = () => {
        const member = randomModule(seed);
        return { member, fault: dice.pick(faultsOf(member.profile)) };
      };
      // One after the other, so that each comes in turn; beside them any.
      const { member, fault } = dice.once(2) ? any() : (FAMILY_FAULTS[seed % FAMILY_FAULTS.length] ?? any());
      const text = faultyProfile(dice, member.profile, fault);
      const { profile, problems } = readProfile(text);
      const dump = bindText(member.workFile, member.work, profile);
      const row = dump.rows.findIndex(({ kind }) => kind === 'record');
      const changed =
        row < 0 ? undefined : changeDump(dump, { writes: [{ row, byte: 0, value: 0, reason: 'option' }] });
      const said = [
        ...(problems.length > 0 && profile.flaw !== undefined ? [] : ['no problem is found']),
        ...(whyNotWritable(dump) !== undefined ? [] : ['it may be written by']),
        ...(changed?.ok === true && changed.value.changesRecords ? ['something was written by it'] : []),
      ];
      return failureOf(
        said.length === 0 ? [] : [`${fault.kind}: ${fault.path.join(' ')} of ${member.name}`, ...said, text],
      );
    },
  }),
};
