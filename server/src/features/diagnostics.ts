import {
  type Connection,
  type Diagnostic,
  DiagnosticSeverity,
  DocumentDiagnosticReportKind,
} from 'vscode-languageserver';
import { checkRetrofit, type JsonSpan, type Phrase, readRetrofit } from '../../../shared-core/src/index.js';
import type { JsonSnapshot } from '../documents.js';
import { answer, type Feature } from '../feature.js';
import { problemsOf, type Session } from '../session.js';
import { toDiagnostic } from '../toLsp.js';
import { resolveUri } from '../uri.js';

/** Marks what is wrong: on request where the client asks, else pushed after each change. */
export const diagnostics: Feature = {
  capabilities: (session) =>
    pulls(session)
      ? { diagnosticProvider: { identifier: 'countersum', interFileDependencies: true, workspaceDiagnostics: false } }
      : {},
  register: (connection, session) => {
    connection.languages.diagnostics.on(async ({ textDocument }) => ({
      kind: DocumentDiagnosticReportKind.Full,
      items: await diagnosticsOf(session, textDocument.uri),
    }));
  },
};

export function pulls({ client }: Session): boolean {
  return client.capabilities.textDocument?.diagnostic !== undefined;
}

/** Everything that is wrong with an open document. */
export async function diagnosticsOf(session: Session, uri: string): Promise<Diagnostic[]> {
  const open = session.documents.get(uri);
  if (open?.kind === 'profile') {
    const reading = await session.readProfileOf(uri);
    return inJson(session, open, reading?.problems ?? []);
  }
  if (open?.kind === 'retrofit') return inJson(session, open, await retrofitProblems(session, open));
  return answer(
    session,
    uri,
    (explained) => problemsOf(explained).map((problem) => toDiagnostic(session, uri, problem)),
    [],
  );
}

/** A retrofit by itself, and held against the profiles that it names. */
async function retrofitProblems(session: Session, { uri, document }: JsonSnapshot): Promise<readonly JsonProblem[]> {
  const { retrofit, problems } = readRetrofit(document.getText());
  if (retrofit === undefined) return problems;
  const readings = await Promise.all(
    retrofit.changes.map(
      async ({ profile }) => [profile, (await session.readProfileOf(resolveUri(uri, profile)))?.profile] as const,
    ),
  );
  const profiles = new Map(readings);
  return [
    ...problems,
    ...checkRetrofit(retrofit, (path) => profiles.get(path)).map((problem) => ({
      code: 'retrofit-invalid',
      ...problem,
    })),
  ];
}

interface JsonProblem {
  readonly code: string;
  readonly span: JsonSpan;
  readonly message: Phrase;
}

function inJson(session: Session, { document }: JsonSnapshot, problems: readonly JsonProblem[]): Diagnostic[] {
  return problems.map(({ code, span, message }) => ({
    range: { start: document.positionAt(span.start), end: document.positionAt(span.end) },
    severity: DiagnosticSeverity.Error,
    code,
    source: 'countersum',
    message: session.say(message),
  }));
}

/** Pushes the problems of all open documents, with the version they are of, to a client that does not ask. */
export async function pushAll(connection: Connection, session: Session): Promise<void> {
  for (const { uri, version } of [...session.documents.values()]) {
    try {
      const found = await diagnosticsOf(session, uri);
      await connection.sendDiagnostics({ uri, version, diagnostics: found });
    } catch {
      // The document has moved on; the change that moved it pushes again.
    }
  }
}
