import {
  type DumpParams,
  type Refusal,
  TEXT_TO_LOAD,
  type TextToLoadResult,
  textToLoad,
} from '../../../shared-core/src/index.js';
import { cutShortFor } from '../cutShort.js';
import { answerOrRefuse, type Feature } from '../feature.js';

/** The text of a dump without headers, for the program that loads it into the module. */
export const dumpToLoad: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<TextToLoadResult | Refusal, void>(TEXT_TO_LOAD, ({ uri }: DumpParams) =>
      answerOrRefuse<TextToLoadResult>(session, uri, async (analysis) => {
        const cutShort = (await cutShortFor(session, [analysis]))(analysis.file);
        const text = textToLoad(analysis, cutShort);
        return text.ok ? { text: text.value } : { refused: session.say(text.why) };
      }),
    );
  },
};
