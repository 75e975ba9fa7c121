import { phrase } from '../../../shared-core/src/base/index.js';
import { addOption, whyNotAdded } from '../../../shared-core/src/learn/index.js';
import { editedProfile, readProfile } from '../../../shared-core/src/profile/index.js';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import { ADD_OPTION, type AddOptionParams, type AddOptionResult } from '../../../shared-core/src/protocol/learning.js';
import { basesOf } from '../bases.js';
import type { Feature } from '../feature.js';

/** An option, found or named by hand, as it goes into a profile, whose text the client has. */
export const addFoundOption: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    const { say } = session;
    connection.onRequest<AddOptionResult | Refusal, void>(
      ADD_OPTION,
      async ({ profile, uri, option: draft }: AddOptionParams) => {
        const bases = await basesOf(session, uri, profile);
        const refused = whyNotAdded(profile, draft, bases);
        if (refused !== undefined) return { refused: say(refused) };
        const edits = addOption(profile, draft);
        if (edits.length === 0)
          return { refused: say(phrase('The profile is no JSON object, so nothing can be added to it.')) };
        const replaces = readProfile(profile, bases).profile.options.some(({ id }) => id === draft.id);
        return { edits, text: editedProfile(profile, edits), replaces };
      },
    );
  },
};
