import { TextDocument } from 'vscode-languageserver-textdocument';
import { done, type Result, valueIn } from '../../shared-core/src/base/index.js';
import { type Names, namesIn } from '../../shared-core/src/jobs/index.js';
import type { JsonSpan } from '../../shared-core/src/profile/index.js';
import { canonicalUri, kindOf } from '../../shared-core/src/workspace/index.js';
import type { Range } from './lsp.js';
import type { Session } from './session.js';

/** A profile or retrofit, open or not. */
export interface JsonFile {
  readonly kind: 'profile' | 'retrofit';
  readonly uri: string;
  /** `null` where it is not open. */
  readonly version: number | null;
  readonly document: TextDocument;
}

/** Reads a file that is a profile or a retrofit by its name; undefined where it is none, or cannot be read. */
export async function readJsonFile(session: Session, given: string): Promise<JsonFile | undefined> {
  const read = await readIfJson(session, given);
  return read && valueIn(read);
}

/** The same, with the reason where it cannot be read; undefined where it is none. */
export async function readIfJson(session: Session, given: string): Promise<Result<JsonFile> | undefined> {
  const uri = canonicalUri(given);
  const open = session.documents.get(uri);
  if (open !== undefined) return open.kind === 'dump' ? undefined : done({ ...open, uri });
  const named = kindOf(uri);
  if (named !== 'profiles' && named !== 'retrofits') return undefined;
  const text = await session.files.readText(uri);
  if (!text.ok) return text;
  const document = TextDocument.create(uri, 'json', 0, text.value);
  return done({ kind: named === 'profiles' ? 'profile' : 'retrofit', uri, version: null, document });
}

/** Reads a file as a profile whatever its name: others name it as one. */
export async function readProfileFile(session: Session, given: string): Promise<JsonFile | undefined> {
  const uri = canonicalUri(given);
  if (session.documents.has(uri) || kindOf(uri) !== undefined) return readJsonFile(session, uri);
  const text = await session.files.readText(uri);
  if (!text.ok) return undefined;
  return { kind: 'profile', uri, version: null, document: TextDocument.create(uri, 'json', 0, text.value) };
}

export function namesOf({ kind, document }: JsonFile): Names | undefined {
  return namesIn(kind, document.getText());
}

export function toJsonRange({ document }: Pick<JsonFile, 'document'>, { start, end }: JsonSpan): Range {
  return { start: document.positionAt(start), end: document.positionAt(end) };
}
