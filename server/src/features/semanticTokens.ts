import type { SemanticTokens, SemanticTokensDelta, SemanticTokensEdit } from 'vscode-languageserver';
import {
  commonEnds,
  contentOf,
  type Dump,
  type InitializationOptions,
  type Role,
  rolesIn,
  wrongTotals,
} from '../../../shared-core/src/index.js';
import { answer, type Feature } from '../feature.js';
import type { Session } from '../session.js';

/** What a stretch of the text is, for colouring. */
export type TokenKind = 'comment' | 'header' | 'value' | 'label' | Role;

/**
 * Names of the kinds: those that this extension's manifest gives colours to, and standard ones for clients that know no
 * others.
 */
const NAMES: Readonly<Record<TokenKind, { readonly own: string; readonly standard: string }>> = {
  comment: { own: 'comment', standard: 'comment' },
  header: { own: 'dumpHeader', standard: 'keyword' },
  value: { own: 'string', standard: 'string' },
  label: { own: 'dumpLabel', standard: 'function' },
  data: { own: 'dumpData', standard: 'number' },
  option: { own: 'dumpOption', standard: 'enumMember' },
  locked: { own: 'dumpLocked', standard: 'macro' },
  volatile: { own: 'dumpVolatile', standard: 'variable' },
  balance: { own: 'dumpBalance', standard: 'parameter' },
  sum: { own: 'dumpSum', standard: 'type' },
};

const KINDS = Object.keys(NAMES) as TokenKind[];
const MODIFIERS = ['wrong'];
const WRONG = 1;

export interface Token {
  readonly row: number;
  readonly start: number;
  readonly end: number;
  readonly kind: TokenKind;
  /** Of a sum: it is not what its bytes make. */
  readonly wrong: boolean;
}

/** Colours by meaning: options, locked bytes, sums that are wrong. Of a part on the screen, of the whole, of what changed. */
export const semanticTokens: Feature = {
  capabilities: ({ client }) => {
    const asked = client.capabilities.textDocument?.semanticTokens;
    if (asked === undefined) return {};
    const names = (client.initializationOptions as InitializationOptions | undefined)?.tokens ? 'own' : 'standard';
    const { full, range } = asked.requests;
    return {
      semanticTokensProvider: {
        legend: { tokenTypes: KINDS.map((kind) => NAMES[kind][names]), tokenModifiers: MODIFIERS },
        range: Boolean(range),
        full: typeof full === 'object' && full.delta ? { delta: true } : Boolean(full),
      },
    };
  },
  register: (connection, session) => {
    if (session.client.capabilities.textDocument?.semanticTokens === undefined) return;
    const { semanticTokens: requests } = connection.languages;
    const given = new Map<string, SemanticTokens>();
    let count = 0;
    const whole = async (uri: string): Promise<SemanticTokens> => {
      const data = await answer(session, uri, ({ dump }) => encoded(dump, 0, dump.rows.length - 1), []);
      const tokens = { resultId: String(++count), data };
      forgetClosed(given, session);
      given.set(uri, tokens);
      return tokens;
    };
    requests.on(({ textDocument: { uri } }) => whole(uri));
    requests.onDelta(
      async ({ textDocument: { uri }, previousResultId }): Promise<SemanticTokens | SemanticTokensDelta> => {
        const before = given.get(uri);
        const tokens = await whole(uri);
        if (before?.resultId !== previousResultId || tokens.resultId === undefined) return tokens;
        return { resultId: tokens.resultId, edits: editsBetween(before.data, tokens.data) };
      },
    );
    requests.onRange(async ({ textDocument: { uri }, range }) => ({
      data: await answer(session, uri, ({ dump }) => encoded(dump, range.start.line, range.end.line), []),
    }));
  },
};

function forgetClosed(given: Map<string, unknown>, { documents }: Session): void {
  for (const uri of given.keys()) if (!documents.has(uri)) given.delete(uri);
}

/** The tokens of the rows from `first` to `last`, in order. */
export function* tokensIn(dump: Dump, first: number, last: number): Generator<Token> {
  const rolesOf = rolesIn(dump, first, last);
  const wrongLines = new Set(dump.wrongSums);
  const wrongCells = new Set(
    wrongTotals(dump).flatMap((index) => (dump.totals[index]?.stored ?? []).map(({ row, byte }) => `${row}:${byte}`)),
  );
  for (let row = Math.max(0, first); row <= Math.min(last, dump.rows.length - 1); row++) {
    const found = dump.rows[row];
    if (found === undefined) continue;
    const token = (kind: TokenKind, start: number, end: number, wrong = false): Token[] =>
      start < end ? [{ row, start, end, kind, wrong }] : [];
    if (found.kind === 'comment') yield* token('comment', ...contentSpan(found.text));
    if (found.kind === 'header') {
      yield* token('header', found.nameSpan.start, found.nameSpan.end);
      yield* token('value', found.valueSpan.start, found.valueSpan.end);
    }
    if (found.kind !== 'record' && found.kind !== 'broken') continue;
    const label = dump.notation.labelSpan(found);
    if (label !== undefined) yield* token('label', label.start, label.end);
    if (found.kind === 'broken') continue;
    const places = dump.notation.digitPlaces(found);
    for (const { role, from, to } of rolesOf(row)) {
      const wrong = role === 'sum' && (wrongLines.has(row) || wrongCells.has(`${row}:${from >> 1}`));
      yield* token(role, places[from] as number, (places[to - 1] as number) + 1, wrong);
    }
    if (dump.notation.id !== 'dump-text') continue;
    const comment = found.text.indexOf('#');
    if (comment >= 0) yield* token('comment', comment, contentSpan(found.text)[1]);
  }
}

function contentSpan(text: string): readonly [start: number, end: number] {
  const end = contentOf(text).trimEnd().length;
  return [Math.min(end, text.search(/\S|$/)), end];
}

/** Tokens as the protocol wants them: five numbers each, the place counted from the token before. */
function encoded(dump: Dump, first: number, last: number): number[] {
  const data: number[] = [];
  let line = 0;
  let column = 0;
  for (const { row, start, end, kind, wrong } of tokensIn(dump, first, last)) {
    if (row !== line) column = 0;
    data.push(row - line, start - column, end - start, KINDS.indexOf(kind), wrong ? WRONG : 0);
    line = row;
    column = start;
  }
  return data;
}

/** One edit that leads from some numbers to others: all that is not alike at the beginning and at the end. */
export function editsBetween(before: readonly number[], after: readonly number[]): SemanticTokensEdit[] {
  const { start, end } = commonEnds(before, after);
  const deleteCount = before.length - start - end;
  const data = after.slice(start, after.length - end);
  return deleteCount === 0 && data.length === 0 ? [] : [{ start, deleteCount, data }];
}
