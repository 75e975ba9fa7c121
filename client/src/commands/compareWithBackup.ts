import { type Command, onDump } from '../command.js';
import { COMPARED, HAS_BACKUP, IN_BACKED_UP_DUMP, IN_DUMP_ALONE, WITHOUT_BACKUP } from './conditions.js';

/** *Compare with the Backup*: what is in the editor beside its backup, and what changed in words. */
export const compareWithBackup: Command = {
  id: 'compareWithBackup',
  title: 'Compare with the Backup',
  does: 'shows the dump beside its backup, and what changed in words',
  icon: 'diff',
  when: HAS_BACKUP,
  menus: [
    { menu: 'editor/title', group: 'navigation@1', when: `${IN_DUMP_ALONE} && !${WITHOUT_BACKUP}` },
    { menu: 'editor/context', group: '1_countersum2@1', when: IN_BACKED_UP_DUMP },
    { menu: 'view/title', group: 'navigation@1', when: COMPARED },
  ],
  run: onDump(({ comparison }, document) => comparison.show(document)),
};
