import { oneLine } from '../../../shared-core/src/base/index.js';
import type { JsonSnapshot } from '../documents.js';
import { answer, type Feature } from '../feature.js';
import {
  type CancellationToken,
  type CompletionItem,
  CompletionItemKind,
  type InlineCompletionItem,
  type Position,
} from '../lsp.js';
import type { Analysis, Session } from '../session.js';
import { toLspEdits, toRange } from '../toLsp.js';
import { headerChoices } from './completion/headers.js';
import { headerValueChoices } from './completion/headerValues.js';
import { type JsonChoice, jsonChoices } from './completion/json.js';
import { lackingSumChoices, missingLineChoices } from './completion/missingLines.js';
import { optionValueChoices } from './completion/optionValues.js';
import { aboutFile, pathChoices } from './completion/paths.js';
import type { Choice, CompletionPlace } from './completion/place.js';

/**
 * What can stand at the cursor: headers and their paths, values of an option in words, lines that are missing, the sum
 * of a line; in profiles and retrofits what their schemas cannot know.
 */
export const completion: Feature = {
  capabilities: ({ client }) => ({
    completionProvider: { triggerCharacters: ['@', ' ', '"'], resolveProvider: true },
    ...(client.capabilities.textDocument?.inlineCompletion !== undefined && { inlineCompletionProvider: true }),
  }),
  register: (connection, session) => {
    connection.onCompletion(async ({ textDocument: { uri }, position, context }, cancel) => {
      const open = session.documents.get(uri);
      if (open === undefined) return [];
      const typed = context?.triggerCharacter;
      if (open.kind !== 'dump') {
        return typed === '@' || typed === ' ' ? [] : toJsonItems(session, open, position);
      }
      if (typed === '"') return [];
      return answer<CompletionItem[]>(
        session,
        uri,
        async (explained) => {
          const place = placeIn(session, explained, position);
          if (place === undefined) return [];
          // A blank is typed in every line of a dump: it asks for what stands behind headers only.
          const behind = [...(await pathChoices(place)), ...(await headerValueChoices(place))];
          const choices = typed === ' ' ? behind : [...behind, ...(await choicesAt(place, cancel))];
          return choices.map((choice, i) => toItem(session, choice, i));
        },
        [],
      );
    });
    connection.onCompletionResolve(async (item) => {
      const { file } = (item.data ?? {}) as { file?: string };
      const documentation = file === undefined ? undefined : await aboutFile(session, file);
      return documentation === undefined ? item : { ...item, documentation: oneLine(documentation) };
    });
    connection.languages.inlineCompletion.on(({ textDocument: { uri }, position }) =>
      answer<InlineCompletionItem[]>(
        session,
        uri,
        (explained) => {
          const place = placeIn(session, explained, position);
          return place === undefined ? [] : lackingSumChoices(place).map(toInline);
        },
        [],
      ),
    );
  },
};

function placeIn(session: Session, explained: Analysis, position: Position): CompletionPlace | undefined {
  const row = explained.dump.rows[position.line];
  if (row === undefined) return undefined;
  return { session, explained, position, row, before: row.text.slice(0, position.character) };
}

/** All choices at a place but for those behind headers, which need the files of the workspace. Behind the first line, lines come first. */
async function choicesAt(place: CompletionPlace, cancel: CancellationToken): Promise<Choice[]> {
  const bytes = [
    ...(await optionValueChoices(place, cancel)),
    ...lackingSumChoices(place),
    ...missingLineChoices(place),
  ];
  const headers = headerChoices(place);
  const first = place.explained.dump.layout.order[0];
  return first !== undefined && first < place.position.line ? [...bytes, ...headers] : [...headers, ...bytes];
}

const KINDS = {
  keyword: CompletionItemKind.Keyword,
  file: CompletionItemKind.File,
  value: CompletionItemKind.EnumMember,
  line: CompletionItemKind.Struct,
} as const;

function toItem(session: Session, choice: Choice, order: number): CompletionItem {
  const { client } = session;
  const commands = client.initializationOptions?.commands === true;
  return {
    label: oneLine(choice.label),
    ...inWords(session, choice.words, choice.caution),
    kind: KINDS[choice.kind],
    sortText: String(order).padStart(3, '0'),
    textEdit: { range: toRange(choice.span), newText: choice.text },
    ...(choice.also !== undefined && { additionalTextEdits: toLspEdits(choice.also) }),
    ...(choice.filter !== undefined && { filterText: choice.filter }),
    ...(choice.note !== undefined && { documentation: choice.note }),
    ...(choice.file !== undefined && { data: { file: choice.file } }),
    ...(choice.continues && commands && { command: { title: '', command: 'editor.action.triggerSuggest' } }),
  };
}

/** Words behind a label, where the client has a place for them there; a caution is in the detail in any case. */
function inWords(
  { client }: Session,
  said: string | undefined,
  caution?: string,
): Pick<CompletionItem, 'labelDetails' | 'detail'> {
  if (said === undefined) return {};
  const words = oneLine(said);
  const beside = client.capabilities.textDocument?.completion?.completionItem?.labelDetailsSupport === true;
  if (!beside) return { detail: caution === undefined ? words : `${words} ${oneLine(caution)}` };
  return { labelDetails: { description: words }, ...(caution !== undefined && { detail: oneLine(caution) }) };
}

async function toJsonItems(session: Session, open: JsonSnapshot, position: Position): Promise<CompletionItem[]> {
  const found: readonly JsonChoice[] = await jsonChoices(session, open, position);
  return found.map(({ label, words, json, start, end, file }, order) => ({
    label: oneLine(label),
    ...inWords(session, words),
    kind: CompletionItemKind.Value,
    sortText: String(order).padStart(3, '0'),
    filterText: json,
    textEdit: { range: { start: open.document.positionAt(start), end: open.document.positionAt(end) }, newText: json },
    ...(file !== undefined && { data: { file } }),
  }));
}

function toInline({ text, span }: Choice): InlineCompletionItem {
  return { insertText: text, range: toRange(span) };
}
