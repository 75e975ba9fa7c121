import {
  CONVERT,
  type ConvertParams,
  type ConvertResult,
  convert as convertDump,
  phrase,
  type Refusal,
} from '../../../shared-core/src/index.js';
import type { Feature } from '../feature.js';

/** The same bytes at the same addresses in another notation, as a text for the client to open. */
export const convert: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<ConvertResult | Refusal, void>(CONVERT, async ({ uri, to }: ConvertParams) => {
      const explained = await session.analyze(uri);
      if (explained === undefined) return { refused: session.say(phrase('Open the dump first.')) };
      const converted = convertDump(explained.dump, to);
      return converted.kind === 'refused'
        ? { refused: session.say(converted.why) }
        : { text: converted.text, lost: converted.lost.map(session.say) };
    });
  },
};
