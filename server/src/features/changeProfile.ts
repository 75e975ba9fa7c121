import { changeProfile } from '../../../shared-core/src/learn/index.js';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import {
  CHANGE_PROFILE,
  type ChangeProfileParams,
  type ChangeProfileResult,
} from '../../../shared-core/src/protocol/learning.js';
import { basesOf } from '../bases.js';
import type { Feature } from '../feature.js';
import { toRefusal } from '../toChange.js';

/** What of a profile's text changes where a person takes a heading or an option into it or out of it; the client has the text. */
export const changeProfileText: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<ChangeProfileResult | Refusal, void>(
      CHANGE_PROFILE,
      async ({ profile, uri, wish }: ChangeProfileParams) => {
        const edits = changeProfile(profile, wish, await basesOf(session, uri, profile));
        return edits.ok ? { edits: edits.value } : toRefusal(session, edits);
      },
    );
  },
};
