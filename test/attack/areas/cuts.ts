import { checkDump } from '../../../shared-core/src/checks/index.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE, readProfile } from '../../../shared-core/src/profile/index.js';
import { diceOf } from '../../support/dice.js';
import { FAMILY_MEMBERS } from '../../support/family.js';
import { randomModule } from '../../support/randomModule.js';
import type { Area } from '../area.js';

const READ = { kind: 'read' } as const;

/** Files cut off at every line and at any character: what is left is never good. */
export const cuts: Area = {
  name: 'cuts',
  share: 30_000,
  open: () => ({
    run: async (seed) => {
      const dice = diceOf(seed);
      const member = dice.once(2) ? dice.pick(FAMILY_MEMBERS) : randomModule(seed >>> 3);
      const { workFile, form, backup: text } = member;
      const isImage = form === 'intel-hex' || form === 's-record';
      const body = text.indexOf('\n\n') + 2;
      const ends = [...text.slice(body).matchAll(/\n/g)].map(({ index }) => body + index + 1);
      // Behind the last character that says anything nothing is lost; nor behind the count of S-records, which closes them.
      const said = form === 's-record' ? text.slice(0, text.lastIndexOf('S8')) : text.replace(/;[^\n]*\n*$/, '');
      const closed = said.trimEnd().length;
      const at = dice.once(2) ? dice.pick(ends) : dice.int(body, text.length);
      const left = text.slice(0, at);
      if (at >= closed) return undefined;
      // Headers say nothing here: a broken seal would be found whatever else is missing.
      const bare = left.slice(body);
      const known = isImage && dice.once(3) ? EMPTY_PROFILE : readProfile(JSON.stringify(member.profile)).profile;
      const dump = bindText(workFile, bare, known);
      const status = known === EMPTY_PROFILE ? ({ kind: 'none' } as const) : READ;
      const problems = checkDump({ dump, profile: status, backup: { kind: 'none' }, modules: () => [] });
      return problems.some(({ severity }) => severity !== 'information')
        ? undefined
        : `${member.name} cut off at ${at} of ${text.length} is good: …${JSON.stringify(left.slice(-40))}`;
    },
  }),
};
