import {
  type DumpParams,
  type Refusal,
  SHOW,
  type ShowResult,
  shownDump,
  shownPage,
} from '../../../shared-core/src/index.js';
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
