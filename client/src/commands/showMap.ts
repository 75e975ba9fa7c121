import type { Command } from '../command.js';
import { HAS_DUMP, IN_DUMP_ALONE, IN_OPTIONS } from './conditions.js';

/** *Show the Dump Map*: all bytes of the current dump at a glance, beside its text. */
export const showMap: Command = {
  id: 'showMap',
  title: 'Show the Dump Map (Hex)',
  does: 'all bytes at a glance beside the text: what each is for, what has changed, what is wrong',
  icon: 'table',
  when: HAS_DUMP,
  menus: [
    { menu: 'editor/title', group: 'navigation@2', when: IN_DUMP_ALONE },
    {
      menu: 'view/title',
      group: 'navigation@2',
      when: `${IN_OPTIONS} && countersum.dump =~ /^(options|empty|unexplained|unreadable)$/`,
    },
  ],
  run: ({ map }) => map.show(),
};
