import { FORMS } from '../../../shared-core/src/format/index.js';
import { formatRows, isSealed } from '../../../shared-core/src/model/index.js';
import { answer, type Feature } from '../feature.js';
import {
  type DocumentFormattingOptions,
  DocumentFormattingRequest,
  DocumentOnTypeFormattingRequest,
  DocumentRangeFormattingRequest,
  type DocumentSelector,
  type Range,
  type ServerCapabilities,
  type TextEdit,
} from '../lsp.js';
import type { Session } from '../session.js';
import { toLspEdits } from '../toLsp.js';

/** Profiles are JSON, which editors format by themselves: this server must not offer itself for them. */
const DUMPS: DocumentSelector = FORMS.map(({ language }) => ({ language }));

/** A line that is finished is formatted. */
const ON_TYPE = { firstTriggerCharacter: '\n' };

/** Even spacing and one letter case: of a whole dump, of what is selected, and of each line that is finished. */
export const formatting: Feature = {
  capabilities: (session) => {
    const { rangesSupport, offered } = asked(session);
    // Where the client takes registrations, dumps alone are registered, below.
    return {
      ...(offered.whole === 'static' && { documentFormattingProvider: true }),
      ...(offered.ranges === 'static' && { documentRangeFormattingProvider: rangesSupport ? { rangesSupport } : true }),
      ...(offered.onType === 'static' && { documentOnTypeFormattingProvider: ON_TYPE }),
    } satisfies ServerCapabilities;
  },
  register: (connection, session) => {
    connection.onDocumentFormatting(({ textDocument: { uri } }) => formatIn(session, uri, [WHOLE]));
    connection.onDocumentRangeFormatting(({ textDocument: { uri }, range }) => formatIn(session, uri, [range]));
    connection.onDocumentRangesFormatting(({ textDocument: { uri }, ranges }) => formatIn(session, uri, ranges));
    connection.onDocumentOnTypeFormatting(({ textDocument: { uri }, position: { line } }) =>
      line === 0 ? [] : formatIn(session, uri, [rows(line - 1, line - 1)]),
    );
  },
  initialized: (connection, session) => {
    const { rangesSupport, offered } = asked(session);
    const dumps: DocumentFormattingOptions & { documentSelector: DocumentSelector } = { documentSelector: DUMPS };
    const { client } = connection;
    if (offered.whole === 'dynamic') void client.register(DocumentFormattingRequest.type, dumps);
    if (offered.ranges === 'dynamic')
      void client.register(DocumentRangeFormattingRequest.type, { ...dumps, ...(rangesSupport && { rangesSupport }) });
    if (offered.onType === 'dynamic')
      void client.register(DocumentOnTypeFormattingRequest.type, { ...dumps, ...ON_TYPE });
  },
};

type Offer = 'static' | 'dynamic' | 'no';

function asked({ client }: Session): {
  readonly rangesSupport: boolean;
  readonly offered: Readonly<Record<'whole' | 'ranges' | 'onType', Offer>>;
} {
  const {
    formatting: whole,
    rangeFormatting: ranges,
    onTypeFormatting: onType,
  } = client.capabilities.textDocument ?? {};
  const offer = (asks: { dynamicRegistration?: boolean } | undefined): Offer =>
    asks === undefined ? 'no' : asks.dynamicRegistration ? 'dynamic' : 'static';
  return {
    rangesSupport: ranges?.rangesSupport === true,
    offered: { whole: offer(whole), ranges: offer(ranges), onType: offer(onType) },
  };
}

const WHOLE = rows(0, Number.MAX_SAFE_INTEGER);

function rows(first: number, last: number): Range {
  return { start: { line: first, character: 0 }, end: { line: last, character: 1 } };
}

async function formatIn(session: Session, uri: string, ranges: readonly Range[]): Promise<TextEdit[]> {
  const { 'format.letterCase': letterCase, 'format.spacing': spacing } = await session.settings(uri);
  return answer(
    session,
    uri,
    ({ dump }) =>
      // A sealed backup stays as it is, character by character.
      isSealed(dump)
        ? []
        : stretchesOf(ranges).flatMap(([first, last]) =>
            toLspEdits(formatRows(dump, first, last, { letterCase, spacing })),
          ),
    [],
  );
}

/** The rows of selections, first and last; selections that share a row are one stretch, as no row is edited twice. */
function stretchesOf(ranges: readonly Range[]): readonly (readonly [first: number, last: number])[] {
  const stretches: [first: number, last: number][] = [];
  for (const { start, end } of [...ranges].sort((a, b) => a.start.line - b.start.line)) {
    // A selection of whole lines ends before the first character of the next.
    const last = end.character === 0 && end.line > start.line ? end.line - 1 : end.line;
    const before = stretches.at(-1);
    if (before === undefined || start.line > before[1]) stretches.push([start.line, last]);
    else before[1] = Math.max(before[1], last);
  }
  return stretches;
}
