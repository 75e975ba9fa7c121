import type { Connection, ServerCapabilities } from 'vscode-languageserver';
import { LSPErrorCodes, ResponseError } from 'vscode-languageserver';
import { phrase, type Refusal } from '../../shared-core/src/index.js';
import type { Analysis, Session } from './session.js';

/** One thing the server offers: what it tells the client, and the handlers it sets up. */
export interface Feature {
  readonly capabilities: (session: Session) => ServerCapabilities;
  readonly register: (connection: Connection, session: Session) => void;
  /** Once the client takes registrations: for what not all documents of the client are offered. */
  readonly initialized?: (connection: Connection, session: Session) => void;
}

/**
 * Answers a request about an open dump from one version of it: the one way from a request to a dump. Where the document
 * moves on while files are read, the client is told so and asks again: an answer for an old version would mark the
 * wrong places.
 */
export async function answer<T>(
  session: Session,
  uri: string,
  compute: (analysis: Analysis) => T | Promise<T>,
  otherwise: T,
): Promise<T> {
  const asked = session.documents.get(uri)?.version;
  const analysis = await session.analyze(uri);
  if (analysis === undefined) return otherwise;
  const mustBeLatest = () => {
    if (analysis.version !== asked || session.documents.get(uri)?.version !== asked) throw outdated();
  };
  mustBeLatest();
  const computed = compute(analysis);
  if (!(computed instanceof Promise)) return computed;
  const result = await computed;
  mustBeLatest();
  return result;
}

/** What a request gets whose document has moved on: the client asks again. */
export function outdated(): ResponseError<void> {
  return new ResponseError(LSPErrorCodes.ContentModified, 'The document has changed since.');
}

/** The same for the extension's own requests, which are refused where the dump is not open. */
export function answerOrRefuse<T>(
  session: Session,
  uri: string,
  compute: (analysis: Analysis) => T | Refusal | Promise<T | Refusal>,
): Promise<T | Refusal> {
  return answer<T | Refusal>(session, uri, compute, { refused: session.say(phrase('Open the dump first.')) });
}
