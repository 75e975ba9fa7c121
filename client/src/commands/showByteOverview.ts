import type { Command } from '../command.js';
import { HAS_DUMP, IN_DUMP, IN_DUMP_ALONE, IN_OPTIONS } from './conditions.js';

/** *Show the Byte Overview*: all bytes of the current dump at a glance, beside its text. */
export const showByteOverview: Command = {
  id: 'showByteOverview',
  title: 'Show the Byte Overview',
  does: 'all bytes at a glance beside the text: what each is for, what has changed, what is wrong',
  icon: 'table',
  when: HAS_DUMP,
  menus: [
    { menu: 'editor/context', group: '1_countersum3@1', when: IN_DUMP },
    { menu: 'editor/title', group: 'navigation@2', when: IN_DUMP_ALONE },
    {
      menu: 'view/title',
      group: 'navigation@2',
      when: `${IN_OPTIONS} && countersum.dump =~ /^(options|found|empty|unexplained|unreadable)$/`,
    },
  ],
  run: ({ byteOverview }) => byteOverview.show(),
};
