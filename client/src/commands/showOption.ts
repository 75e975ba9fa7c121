import type { OptionItem } from '../../../shared-core/src/protocol/options.js';
import type { Command } from '../command.js';
import { goToPlace } from '../places.js';
import { IN_OPTIONS } from './conditions.js';

const ON_OPTION = `${IN_OPTIONS} && viewItem =~ /^option/`;

/** *Show in the Text*: of the *Options* view, where an option stands. */
export const showOption: Command = {
  id: 'showOption',
  title: 'Show in the Text',
  does: 'of the *Options* view: where an option stands',
  icon: 'go-to-file',
  onlyInMenus: true,
  menus: [
    { menu: 'view/item/context', group: 'inline', when: ON_OPTION },
    { menu: 'view/item/context', group: '1_option@2', when: ON_OPTION },
  ],
  run: async ({ current, options }, given?: { readonly item: OptionItem }) => {
    const document = current.document();
    const range = (given?.item ?? options.selected())?.range;
    if (document && range) await goToPlace(document.uri, range);
  },
};
