import { trustCase } from '../../support/trustCase.js';
import { harmOfOffer, offersOf, sessionOf } from '../../support/trustSession.js';
import { type Area, failureOf } from '../area.js';

/** All edits that the language server offers over its streams. */
export const editor: Area = {
  name: 'editor',
  share: 200,
  open: () => ({
    run: async (seed) => {
      const given = trustCase(seed);
      const session = await sessionOf(given);
      try {
        const offers = await offersOf(session, given);
        const said = offers.flatMap((offer) => harmOfOffer(given, offer).map((harm) => `${offer.says}: ${harm}`));
        return failureOf(said.length === 0 ? [] : [given.says, ...said]);
      } finally {
        session.close();
      }
    },
  }),
};
