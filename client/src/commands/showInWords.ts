import { SHOW, type ShowResult } from '../../../shared-core/src/protocol/options.js';
import { type Command, onDump } from '../command.js';
import { HAS_DUMP, IN_DUMP } from './conditions.js';

/** *Show in Words*: what the dump is set to, its sums, what is wrong, and the data that no option holds, as a page. */
export const showInWords: Command = {
  id: 'showInWords',
  title: 'Show in Words',
  does: 'the dump as a page: options by group, sums, what is wrong, and the data that no option holds',
  icon: 'book',
  when: HAS_DUMP,
  menus: [{ menu: 'editor/context', group: '1_countersum3@5', when: IN_DUMP }],
  run: onDump(async ({ ask, showPage }, { uri }) => {
    const shown = await ask<ShowResult>(SHOW, { uri: uri.toString() });
    if (shown !== undefined) await showPage(shown.title, shown.page);
  }),
};
