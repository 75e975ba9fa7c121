import { base64Of, done, phrase, type Result, refuse } from '../../../shared-core/src/base/index.js';
import { textToLoad } from '../../../shared-core/src/jobs/index.js';
import { toLoadName } from '../../../shared-core/src/model/index.js';
import type { DumpParams, Refusal } from '../../../shared-core/src/protocol/common.js';
import { TEXT_TO_LOAD, type TextToLoadResult } from '../../../shared-core/src/protocol/convert.js';
import { isUnsaved } from '../../../shared-core/src/workspace/index.js';
import { utf8 } from '../codec.js';
import { cutShortFor } from '../cutShort.js';
import { answerOrRefuse, type Feature } from '../feature.js';
import type { CancellationToken } from '../lsp.js';
import type { Analysis, Session } from '../session.js';

/** A dump without headers, for the program that loads it into the module: in the encoding and with the line ends that it has. */
export const dumpToLoad: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<TextToLoadResult | Refusal, void>(TEXT_TO_LOAD, ({ uri }: DumpParams, token) =>
      answerOrRefuse<TextToLoadResult>(session, uri, async (analysis) => {
        const cutShort = (await cutShortFor(session, [analysis]))(analysis.file);
        const text = textToLoad(analysis, cutShort);
        const bytes = text.ok ? await encoded(session, analysis, text.value, token) : text;
        return bytes.ok
          ? { name: toLoadName(analysis.name), base64: base64Of(bytes.value) }
          : { refused: session.say(bytes.why) };
      }),
    );
  },
};

/** An editor hands over texts without their mark, so the file as it is saved says how it is encoded. */
async function encoded(
  session: Session,
  { file, name }: Analysis,
  text: string,
  token: CancellationToken,
): Promise<Result<Uint8Array>> {
  if (isUnsaved(file)) return done(utf8.encode(text));
  const saved = session.saved(token);
  const opened = await saved.open(file);
  if (!opened.ok) return refuse(phrase('{0} cannot be read: {1}', name, opened.why));
  const isMarked = opened.value.text().startsWith(MARK) && !text.startsWith(MARK);
  const closed = opened.value.close();
  if (!closed.ok) return refuse(phrase('{0} cannot be read: {1}', name, closed.why));
  const whole = isMarked ? `${MARK}${text}` : text;
  const made = saved.codingOf(file)?.encode(whole) ?? done({ bytes: utf8.encode(whole) });
  return made.ok ? done(made.value.bytes) : refuse(phrase('{0} cannot be written in the encoding that it has.', name));
}

/** The byte order mark. */
const MARK = '\ufeff';
