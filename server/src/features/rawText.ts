import { base64Of, bytesOfBase64, type Phrase, phrase, refuse } from '../../../shared-core/src/base/index.js';
import { FORMS, looksLikeDump, readingsOf, sampleOf } from '../../../shared-core/src/format/index.js';
import { firstNumberedLine } from '../../../shared-core/src/learn/index.js';
import { headIn, holdsSeal, whyNotReadBack } from '../../../shared-core/src/model/index.js';
import {
  FORM_OF_FILE,
  type FormOfFileParams,
  type FormOfFileResult,
  RAW_BYTES,
  RAW_TEXT,
  type RawBytesParams,
  type RawBytesResult,
  type RawTextParams,
  type RawTextResult,
  READINGS,
  type ReadingsParams,
  type ReadingsResult,
} from '../../../shared-core/src/protocol/raw.js';
import {
  binaryOfText,
  holdsRawBytes,
  kindOf,
  otherKindOf,
  PLAIN_VIEW,
  textOfBinary,
  textOfFile,
} from '../../../shared-core/src/workspace/index.js';
import type { Feature } from '../feature.js';
import type { Session } from '../session.js';
import { toRefusal } from '../toChange.js';

/** What the editor needs to show files of any kind as texts: raw bytes as lines, and the forms that a text may have. */
export const rawText: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<RawTextResult, void>(RAW_TEXT, ({ base64, headers }: RawTextParams) => {
      const text = textOfBinary(bytesOfBase64(base64), headers, PLAIN_VIEW);
      return text.ok ? { text: text.value } : toRefusal(session, text);
    });
    connection.onRequest<RawBytesResult, void>(RAW_BYTES, ({ text, size }: RawBytesParams) => {
      const binary = binaryOfText(text, PLAIN_VIEW);
      if (!binary.ok) return toRefusal(session, binary);
      const { bytes, headers } = binary.value;
      const { length } = bytes;
      // An editor makes an empty file first where a text is saved under another name.
      if (size !== null && size !== 0 && size !== length)
        return { refused: session.say(phrase('it has {0} bytes, and this text has {1}', size, length)) };
      return { base64: base64Of(bytes), headers, isSealed: holdsSeal(headers) };
    });
    connection.onRequest<ReadingsResult, void>(READINGS, ({ text }: ReadingsParams) => readingsIn(session, text));
    connection.onRequest<FormOfFileResult, void>(FORM_OF_FILE, (params: FormOfFileParams) => {
      const { name } = params;
      const bytes = bytesOfBase64(params.base64);
      const why = whyNotBroughtIn(params, bytes);
      if (why !== undefined) return toRefusal(session, refuse(why));
      if (kindOf(name) !== undefined) return { isRaw: false, reading: null };
      if (holdsRawBytes(name, bytes)) return { isRaw: true, reading: null };
      const { isCertain, readings } = readingsIn(session, textOfFile(bytes));
      const [reading] = readings;
      const isKnown = isCertain && reading !== undefined && reading.language !== FORMS[0].language;
      return { isRaw: false, reading: isKnown ? reading : null };
    });
  },
};

/** Why a file that a person has chosen is no dump, or none that was read back; undefined where it may be. */
function whyNotBroughtIn({ name, headers, isReadBack }: FormOfFileParams, bytes: Uint8Array): Phrase | undefined {
  if (bytes.length === 0) return phrase('{0} is empty. Choose the file that holds what was read.', name);
  const kind = headers === '' ? otherKindOf(bytes) : undefined;
  if (kind !== undefined)
    return phrase('{0} is {1}, not a dump. Choose the file that holds what was read.', name, kind);
  if (!isReadBack) return undefined;
  const own = headIn(name, holdsRawBytes(name, bytes) ? '' : textOfFile(bytes));
  const beside = headIn('headers.cfgdump', headers ?? '');
  return whyNotReadBack(name, own) ?? whyNotReadBack(name, beside);
}

function readingsIn(session: Session, text: string): ReadingsResult {
  const { isCertain, readings } = readingsOf(text);
  const inWords = readings.map(({ form: { language, title, word }, sample }) => ({
    language,
    title: session.say(word === undefined ? title : phrase('{0} in words ({1})', title, word)),
    ...(word !== undefined && { word }),
    sample,
  }));
  // Only what reads bytes alone takes the numbers of lines for some.
  const mayBe = !isCertain && readings.some(({ form }) => !form.keeps.addresses) && readings.every(isOfSingleBytes);
  const numbered = mayBe ? firstNumberedLine(text) : undefined;
  if (numbered === undefined) return { isCertain, readings: inWords, looksLikeDump: looksLikeDump(text) };
  // Their form is worked out as that of any dump which nothing describes yet.
  const [{ language }, title] = [FORMS[0], session.say(phrase('numbered lines'))];
  const lines = { language, title, sample: sampleOf(numbered.bytes), line: numbered.number };
  return { isCertain, readings: [lines, ...inWords], looksLikeDump: looksLikeDump(text) };
}

function isOfSingleBytes({ form }: ReturnType<typeof readingsOf>['readings'][number]): boolean {
  return form.word === undefined;
}
