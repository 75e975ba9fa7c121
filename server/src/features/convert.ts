import { convert as convertDump } from '../../../shared-core/src/convert/index.js';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import { CONVERT, type ConvertParams, type ConvertResult } from '../../../shared-core/src/protocol/convert.js';
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
