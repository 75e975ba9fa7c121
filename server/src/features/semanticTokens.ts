import { commonEnds } from '../../../shared-core/src/base/index.js';
import { contentOf, type Row } from '../../../shared-core/src/format/index.js';
import {
  cellKey,
  type Dump,
  type Role,
  type RoleRun,
  rolesIn,
  wrongTotals,
} from '../../../shared-core/src/model/index.js';
import type { InitializationOptions } from '../../../shared-core/src/protocol/initialization.js';
import { rowsInDocument } from '../documents.js';
import { answer, type Feature } from '../feature.js';
import type { SemanticTokens, SemanticTokensDelta, SemanticTokensEdit } from '../lsp.js';
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
const NUMBER_OF = Object.fromEntries(KINDS.map((kind, number) => [kind, number])) as Readonly<
  Record<TokenKind, number>
>;
const MODIFIERS = ['wrong'];
const WRONG = 1;

/** Colours by meaning: options, locked bytes, sums that are wrong. Of a part on the screen, of the whole, of what changed. */
export const semanticTokens: Feature = {
  capabilities: ({ client }) => {
    const asked = client.capabilities.textDocument?.semanticTokens;
    if (asked === undefined) return {};
    const names = (client.initializationOptions as InitializationOptions | undefined)?.tokens ? 'own' : 'standard';
    const { full, range } = asked.requests ?? {};
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
      const data = await answer(session, uri, ({ dump }) => encoded(dump, 0, lastRow(session, uri, dump)), []);
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
        if (before === undefined || before.resultId !== previousResultId || tokens.resultId === undefined)
          return tokens;
        return { resultId: tokens.resultId, edits: editsBetween(before.data, tokens.data) };
      },
    );
    requests.onRange(async ({ textDocument: { uri }, range }) => ({
      data: await answer(
        session,
        uri,
        ({ dump }) => encoded(dump, range.start.line, Math.min(range.end.line, lastRow(session, uri, dump))),
        [],
      ),
    }));
  },
};

function lastRow({ documents }: Session, uri: string, dump: Dump): number {
  return rowsInDocument(dump, documents.get(uri)) - 1;
}

function forgetClosed(given: Map<string, unknown>, { documents }: Session): void {
  for (const uri of given.keys()) if (!documents.has(uri)) given.delete(uri);
}

/** Takes a token; called for each in turn, as an object for each of 300,000 would cost more than all that is read from it. */
type TakeToken = (kind: TokenKind, row: number, start: number, end: number, wrong: boolean) => void;

/** Gives the tokens of the rows from `first` to `last`, in order. */
export function eachToken(dump: Dump, first: number, last: number, take: TakeToken): void {
  const rolesOf = rolesIn(dump, first, last);
  const wrongLines = new Set(dump.wrongSums);
  const wrongCells = new Set(wrongTotals(dump).flatMap((index) => (dump.totals[index]?.stored ?? []).map(cellKey)));
  for (let row = Math.max(0, first); row <= Math.min(last, dump.rows.length - 1); row++) {
    const found = dump.rows[row] as Row;
    if (found.kind === 'comment') take('comment', row, ...contentSpan(found.text), false);
    if (found.kind === 'header') {
      // Its comment sign too: a header is no comment.
      take('header', row, contentSpan(found.text)[0], found.nameSpan.end, false);
      take('value', row, found.valueSpan.start, found.valueSpan.end, false);
    }
    if (found.kind !== 'record' && found.kind !== 'broken') continue;
    const label = dump.notation.labelSpan(found);
    const places = found.kind === 'record' ? dump.notation.digitPlaces(found) : [];
    // Some forms have the sum before the address.
    const sumLeads = (places.at(-1) ?? 0) < (label?.end ?? 0) && places.length > 0;
    if (label !== undefined && !sumLeads) take('label', row, label.start, label.end, false);
    if (found.kind === 'broken') continue;
    const runs = places.length === 0 ? [] : rolesOf(row);
    const isInWords = dump.notation.word !== undefined;
    const isWrong = (digit: number) => wrongCells.size > 0 && wrongCells.has(cellKey({ row, byte: digit >> 1 }));
    for (const run of isInWords ? runsInText(runs, places, isWrong) : [])
      take(run.role, row, run.start, run.end, run.wrong);
    const inOrder = isInWords ? [] : sumLeads ? withSumFirst(runs, places.length - 2) : runs;
    for (const { role, from, to } of inOrder) {
      const wrong =
        role === 'sum' &&
        (wrongLines.has(row) || (wrongCells.size > 0 && wrongCells.has(cellKey({ row, byte: from >> 1 }))));
      take(role, row, places[from] as number, (places[to - 1] as number) + 1, wrong);
      if (sumLeads && to === places.length && label !== undefined) take('label', row, label.start, label.end, false);
    }
    const { commentBehind } = dump.notation;
    const comment = commentBehind === undefined ? -1 : found.text.indexOf(commentBehind);
    if (comment >= 0) take('comment', row, comment, contentSpan(found.text)[1], false);
  }
}

interface TextRun {
  readonly role: RoleRun['role'];
  readonly wrong: boolean;
  readonly start: number;
  readonly end: number;
}

/** The same in the order of the text, where the bytes of a word are in another order than their addresses. */
function runsInText(
  runs: readonly RoleRun[],
  places: readonly number[],
  isWrong: (digit: number) => boolean,
): readonly TextRun[] {
  const digits = runs
    .flatMap(({ role, from, to }) =>
      Array.from({ length: to - from }, (_, i) => ({
        role,
        wrong: role === 'sum' && isWrong(from + i),
        start: places[from + i] as number,
      })),
    )
    .sort((a, b) => a.start - b.start);
  return digits.reduce<TextRun[]>((all, { role, wrong, start }) => {
    const last = all.at(-1);
    const isMore = last !== undefined && last.role === role && last.wrong === wrong;
    if (isMore) all[all.length - 1] = { ...last, end: start + 1 };
    else all.push({ role, wrong, start, end: start + 1 });
    return all;
  }, []);
}

/** Runs of digits with those of the sum, the last two, before all others. */
function withSumFirst(runs: readonly RoleRun[], sumAt: number): readonly RoleRun[] {
  const others = runs.flatMap((run) => (run.from < sumAt ? [{ ...run, to: Math.min(run.to, sumAt) }] : []));
  return [{ role: 'sum', from: sumAt, to: sumAt + 2 }, ...others];
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
  eachToken(dump, first, last, (kind, row, start, end, wrong) => {
    if (start === end) return;
    if (row !== line) column = 0;
    data.push(row - line, start - column, end - start, NUMBER_OF[kind], wrong ? WRONG : 0);
    line = row;
    column = start;
  });
  return data;
}

/** One edit that leads from some numbers to others: all that is not alike at the beginning and at the end. */
export function editsBetween(before: readonly number[], after: readonly number[]): SemanticTokensEdit[] {
  const { start, end } = commonEnds(before, after);
  const deleteCount = before.length - start - end;
  const data = after.slice(start, after.length - end);
  return deleteCount === 0 && data.length === 0 ? [] : [{ start, deleteCount, data }];
}
