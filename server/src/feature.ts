import { phrase } from '../../shared-core/src/base/index.js';
import type { Refusal } from '../../shared-core/src/protocol/common.js';
import { canonicalUri } from '../../shared-core/src/workspace/index.js';
import type { Connection, ServerCapabilities } from './lsp.js';
import { LSPErrorCodes, ResponseError } from './lsp.js';
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
  before: () => Promise<void> = async () => {},
): Promise<T> {
  const asked = session.documents.get(uri)?.version;
  await before();
  const analysis = await session.analyze(uri);
  if (analysis === undefined) return otherwise;
  const mustBeLatest = () => {
    if (analysis.version !== asked || session.documents.get(uri)?.version !== asked) throw hasChanged();
  };
  mustBeLatest();
  const computed = compute(analysis);
  if (!(computed instanceof Promise)) return computed;
  const result = await computed;
  mustBeLatest();
  return result;
}

/**
 * An answer that is put together from files of any kind, open or not. Where one of the open ones that it tells of has
 * moved on since the question, the client is told so and asks again.
 */
export async function answerOfVersions<T>(
  session: Session,
  compute: () => Promise<T>,
  filesIn: (answer: T) => readonly string[],
): Promise<T> {
  const asked = new Map([...session.documents.values()].map(({ uri, version }) => [canonicalUri(uri), version]));
  const result = await compute();
  if (filesIn(result).some((uri) => session.documents.get(uri)?.version !== asked.get(canonicalUri(uri))))
    throw hasChanged();
  return result;
}

export function hasChanged(): ResponseError<void> {
  return new ResponseError(LSPErrorCodes.ContentModified, 'The document has changed since.');
}

/**
 * The same for the extension's own requests, which are refused where the dump is not open. What they say and write rests
 * on no file that has changed since it was read.
 */
export function answerOrRefuse<T>(
  session: Session,
  uri: string,
  compute: (analysis: Analysis) => T | Refusal | Promise<T | Refusal>,
): Promise<T | Refusal> {
  const closed: Refusal = { refused: session.say(phrase('Open the dump first.')) };
  return answer<T | Refusal>(session, uri, compute, closed, session.files.lookAgain);
}
