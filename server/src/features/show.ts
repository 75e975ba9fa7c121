import { shownDump, shownPage } from '../../../shared-core/src/jobs/index.js';
import type { DumpParams, Refusal } from '../../../shared-core/src/protocol/common.js';
import { SHOW, type ShowResult } from '../../../shared-core/src/protocol/options.js';
import { answerOrRefuse, type Feature } from '../feature.js';

/** A dump in words as a page, by its profile alone. */
export const dumpInWords: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<ShowResult | Refusal, void>(SHOW, ({ uri }: DumpParams) =>
      answerOrRefuse(session, uri, ({ name, ...analysis }) => {
        const shown = shownDump(name, analysis);
        if (!shown.ok) return { refused: session.say(shown.why) };
        return { title: shown.value.module ?? name, page: shownPage(name, shown.value, session.say) };
      }),
    );
  },
};
