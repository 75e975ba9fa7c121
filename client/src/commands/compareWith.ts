import { type Command, onDump } from '../command.js';
import { browseForDump } from './chooseReading.js';
import { HAS_DUMP, IN_CHANGES } from './conditions.js';

/** *Compare with Another Dump…*: any dump of the same module. */
export const compareWith: Command = {
  id: 'compareWith',
  title: 'Compare with Another Dump…',
  does: 'the same with any dump of the same module',
  when: HAS_DUMP,
  menus: [{ menu: 'view/title', group: '1_compare@1', when: IN_CHANGES }],
  run: onDump(async ({ comparison }, document) => {
    const other = await browseForDump();
    if (other) await comparison.show(document, other);
  }),
};
