import {
  ADD_OPTION,
  type AddOptionParams,
  type AddOptionResult,
  addOption,
  type DraftOption,
  editedProfile,
  phrase,
  type Refusal,
  readProfile,
  whyNotAdded,
} from '../../../shared-core/src/index.js';
import type { Feature } from '../feature.js';

/** A found place as an option of a profile, whose text the client has. */
export const addFoundOption: Feature = {
  capabilities: () => ({}),
  register: (connection, { say }) => {
    connection.onRequest<AddOptionResult | Refusal, void>(ADD_OPTION, ({ profile, option }: AddOptionParams) => {
      const draft = option as DraftOption;
      const refused = whyNotAdded(profile, draft);
      if (refused !== undefined) return { refused: say(refused) };
      const edits = addOption(profile, draft);
      if (edits.length === 0)
        return { refused: say(phrase('The profile is no JSON object, so nothing can be added to it.')) };
      const replaces = readProfile(profile).profile.options.some(({ id }) => id === draft.id);
      return { edits, text: editedProfile(profile, edits), replaces };
    });
  },
};
