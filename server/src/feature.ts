import type { Connection, ServerCapabilities } from 'vscode-languageserver';
import { LSPErrorCodes, ResponseError } from 'vscode-languageserver';
import type { Analysis, Session } from './session.js';

/** One thing the server offers: what it tells the client, and the handlers it sets up. */
export interface Feature {
  readonly capabilities: (session: Session) => ServerCapabilities;
  readonly register: (connection: Connection, session: Session) => void;
  /** Once the client takes registrations: for what not all documents of the client are offered. */
  readonly initialized?: (connection: Connection, session: Session) => void;
}

/**
 * Answers a request about a dump from one version of it. Where the document moves on while files are read, the client
 * is told so and asks again: an answer for an old version would mark the wrong places.
 */
export async function answer<T>(
  session: Session,
  uri: string,
  compute: (explained: Analysis) => T,
  otherwise: T,
): Promise<T> {
  const asked = session.documents.get(uri)?.version;
  const explained = await session.analyze(uri);
  if (explained === undefined) return otherwise;
  if (session.documents.get(uri)?.version !== explained.version || asked !== explained.version) {
    throw new ResponseError(LSPErrorCodes.ContentModified, 'The document has changed since.');
  }
  return compute(explained);
}
