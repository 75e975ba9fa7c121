import {
  CONVERT,
  type ConvertParams,
  type ConvertResult,
  convert as convertDump,
  type Refusal,
} from '../../../shared-core/src/index.js';
import { answerOrRefuse, type Feature } from '../feature.js';

/** The same bytes at the same addresses in another form, as a text for the client to open. */
export const convert: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<ConvertResult | Refusal, void>(CONVERT, ({ uri, to }: ConvertParams) =>
      answerOrRefuse<ConvertResult>(session, uri, ({ dump }) => {
        const converted = convertDump(dump, to);
        if (!converted.ok) return { refused: session.say(converted.why) };
        const { text, lost } = converted.value;
        return { text, lost: lost.map(session.say) };
      }),
    );
  },
};
