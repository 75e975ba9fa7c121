import { type Connection, type Diagnostic, DocumentDiagnosticReportKind } from 'vscode-languageserver';
import { answer, type Feature } from '../feature.js';
import { problemsOf, type Session } from '../session.js';
import { toDiagnostic } from '../toLsp.js';

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
    const { document } = open;
    const reading = await session.readProfileOf(uri);
    return (reading?.problems ?? []).map(({ code, span, message }) => ({
      range: { start: document.positionAt(span.start), end: document.positionAt(span.end) },
      severity: 1,
      code,
      source: 'countersum',
      message: session.say(message),
    }));
  }
  return answer(
    session,
    uri,
    (explained) => problemsOf(explained).map((problem) => toDiagnostic(session, uri, problem)),
    [],
  );
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
