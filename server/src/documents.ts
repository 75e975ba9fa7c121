import { TextDocument } from 'vscode-languageserver-textdocument';
import {
  contentOf,
  type Notation,
  notationOfDocument,
  type Row,
  readRows,
  replaceText,
  rowsBehind,
  wordInHeaders,
} from '../../shared-core/src/format/index.js';
import { bind, type Dump, inNotationOf, rebind } from '../../shared-core/src/model/index.js';
import { isReadAs, type Profile } from '../../shared-core/src/profile/index.js';
import { isOfAnotherTime, kindOf } from '../../shared-core/src/workspace/index.js';
import type { Position, TextDocumentContentChangeEvent } from './lsp.js';

/** One version of an open dump; never changed, only replaced by the next. */
export interface DumpSnapshot {
  readonly kind: 'dump';
  readonly uri: string;
  /** What the editor takes the text for. */
  readonly language: string;
  readonly version: number;
  readonly notation: Notation;
  /** The one that the text shows by itself, where no profile says another. */
  readonly shown: Notation;
  readonly rows: readonly Row[];
  /** The headers in the file beside it, where its form has no place for them. */
  readonly beside: HeadersBeside;
  /** The rows, with the headers beside them, bound to the profile they were last bound to, so that the next version costs only what it changes. */
  readonly dump: Dump | undefined;
}

/** Headers that are bound behind the rows of a document, and are not in it. */
interface HeadersBeside {
  readonly text: string;
  readonly rows: readonly Row[];
}

const NONE_BESIDE: HeadersBeside = { text: '', rows: [] };

/** One version of an open profile or retrofit. */
export interface JsonSnapshot {
  readonly kind: 'profile' | 'retrofit';
  readonly uri: string;
  readonly version: number;
  readonly document: TextDocument;
}

export type Snapshot = DumpSnapshot | JsonSnapshot;

/**
 * The first version of a document that a client opens; undefined where it is none of ours: other JSON files, which a
 * client opens that asks about profiles, and files as they were at another time.
 */
export function openSnapshot(uri: string, languageId: string, version: number, text: string): Snapshot | undefined {
  const named = kindOf(uri);
  if (isOfAnotherTime(uri) || (named === undefined && /^jsonc?$/.test(languageId))) return undefined;
  if (named === 'profiles' || named === 'retrofits') {
    const kind = named === 'profiles' ? 'profile' : 'retrofit';
    return { kind, uri, version, document: TextDocument.create(uri, languageId, version, text) };
  }
  const notation = notationOfDocument(languageId, uri, text);
  return {
    kind: 'dump',
    uri,
    language: languageId,
    version,
    notation,
    shown: notation,
    rows: readRows(text, notation),
    beside: NONE_BESIDE,
    dump: undefined,
  };
}

/** The next version after the editor's changes, applied one after the other. */
export function nextSnapshot(
  before: Snapshot,
  version: number,
  changes: readonly TextDocumentContentChangeEvent[],
): Snapshot {
  if (before.kind !== 'dump') {
    // The library changes a document in place; an own copy keeps the earlier version as it was.
    const copy = TextDocument.create(before.uri, before.document.languageId, before.version, before.document.getText());
    return { ...before, version, document: TextDocument.update(copy, [...changes], version) };
  }
  return changes.reduce<DumpSnapshot>((snapshot, change) => nextDump(snapshot, change), { ...before, version });
}

function nextDump(snapshot: DumpSnapshot, change: TextDocumentContentChangeEvent): DumpSnapshot {
  if (!('range' in change)) return { ...snapshot, rows: readRows(change.text, snapshot.notation), dump: undefined };
  const { start, end } = change.range;
  const replacement = {
    start: placeOf(snapshot.rows, start),
    end: placeOf(snapshot.rows, end),
    text: change.text,
  };
  const next = replaceText(snapshot.rows, replacement, snapshot.notation);
  const { row, removed, added } = next.change;
  const isOfWord =
    wordInHeaders(snapshot.rows.slice(row, row + removed)) !== wordInHeaders(next.rows.slice(row, row + added));
  // In other words all bytes are others.
  if (isOfWord) return { ...snapshot, rows: next.rows, dump: undefined };
  return {
    ...snapshot,
    rows: next.rows,
    dump: snapshot.dump && rebind(snapshot.dump, withBeside(next.rows, snapshot), next.change),
  };
}

/** A place of the text: behind the end of a line is at its end, before its line end. */
function placeOf(
  rows: readonly Row[],
  { line, character }: Position,
): { readonly row: number; readonly column: number } {
  const found = rows[line];
  return { row: line, column: found === undefined ? character : Math.min(character, contentOf(found.text).length) };
}

/** The snapshot bound to a profile; the binding it has already is kept where the profile is the same. */
export function boundTo(snapshot: DumpSnapshot, profile: Profile): DumpSnapshot & { readonly dump: Dump } {
  if (snapshot.dump !== undefined && isReadAs(snapshot.dump.profile, profile))
    return { ...snapshot, dump: snapshot.dump };
  const word = wordInHeaders(snapshot.beside.rows) ?? wordInHeaders(snapshot.rows);
  const { rows, notation } = inNotationOf(profile, () => snapshot.shown, snapshot, word);
  return { ...snapshot, rows, notation, dump: bind(withBeside(rows, snapshot), notation, profile) };
}

/** The snapshot with the headers that are in the file beside it now. */
export function besideHeaders(snapshot: DumpSnapshot, text: string): DumpSnapshot {
  if (text === snapshot.beside.text) return snapshot;
  return { ...snapshot, beside: { text, rows: rowsBehind(text) }, dump: undefined };
}

function withBeside(rows: readonly Row[], { beside }: Pick<DumpSnapshot, 'beside'>): readonly Row[] {
  return beside.rows.length === 0 ? rows : [...rows, ...beside.rows];
}

/** How many rows of a dump are in its document: headers beside it are behind those. */
export function rowsInDocument({ rows }: Pick<Dump, 'rows'>, open: Snapshot | undefined): number {
  return open?.kind === 'dump' && open.beside.rows.length > 0 ? rows.length - open.beside.rows.length : rows.length;
}
