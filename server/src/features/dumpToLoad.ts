import {
  type DumpParams,
  type Refusal,
  TEXT_TO_LOAD,
  type TextToLoadResult,
  textToLoad,
} from '../../../shared-core/src/index.js';
import { answerOrRefuse, type Feature } from '../feature.js';

/** The text of a dump without headers, for the program that loads it into the module. */
export const dumpToLoad: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<TextToLoadResult | Refusal, void>(TEXT_TO_LOAD, ({ uri }: DumpParams) =>
      answerOrRefuse<TextToLoadResult>(session, uri, (analysis) => {
        const text = textToLoad(analysis);
        return text.ok ? { text: text.value } : { refused: session.say(text.why) };
      }),
    );
  },
};
