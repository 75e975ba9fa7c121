import { type Command, onDump } from '../command.js';
import { COMPARED, HAS_DUMP, IN_DUMP, IN_DUMP_ALONE } from './conditions.js';

/** *Compare with the Backup*: what is in the editor beside its backup, and what changed in words. */
export const compareWithBackup: Command = {
  id: 'compareWithBackup',
  title: 'Compare with the Backup',
  does: 'shows the dump beside its backup, and what changed in words',
  icon: 'diff',
  when: HAS_DUMP,
  menus: [
    { menu: 'editor/title', group: 'navigation@1', when: IN_DUMP_ALONE },
    { menu: 'editor/context', group: '1_countersum@1', when: IN_DUMP },
    { menu: 'view/title', group: 'navigation@1', when: COMPARED },
  ],
  run: onDump(({ comparison }, document) => comparison.show(document)),
};
