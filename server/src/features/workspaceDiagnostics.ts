import { canonicalUri } from '../../../shared-core/src/workspace/index.js';
import type { Feature } from '../feature.js';
import {
  type CancellationToken,
  DocumentDiagnosticReportKind,
  type WorkspaceDiagnosticParams,
  type WorkspaceDocumentDiagnosticReport,
} from '../lsp.js';
import type { Session } from '../session.js';
import { endIfCancelled, pauses } from '../slices.js';
import { type FileProblems, problemsOfFile } from './diagnostics.js';

/**
 * Problems of all dumps, profiles and retrofits of the workspace, open or not. A client that takes partial results is
 * told of whatever changes while its one request stays open; any other is answered at once, and asks again. That it is
 * on offer at all stands with the diagnostics of single documents.
 */
export const workspaceDiagnostics: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.languages.diagnostics.onWorkspace(async (params, cancel, _, partial) => {
      const known = knownBy(params);
      const items: WorkspaceDocumentDiagnosticReport[] = [];
      if (partial === undefined) {
        for await (const report of reports(session, known, cancel)) items.push(report);
        return { items };
      }
      for (;;) {
        await Promise.race([settled(), cancelled(cancel)]);
        const change = session.changes.next();
        for await (const report of reports(session, known, cancel)) {
          if (report.kind === DocumentDiagnosticReportKind.Full) partial.report({ items: [report] });
        }
        await Promise.race([change, cancelled(cancel)]);
        endIfCancelled(cancel);
      }
    });
  },
};

/** Result ids by the addresses of their files; `GONE` where it was told that a file is no more. */
type Known = Map<string, string>;

const GONE = 'gone';

function knownBy({ previousResultIds }: WorkspaceDiagnosticParams): Known {
  return new Map(previousResultIds.map(({ uri, value }) => [canonicalUri(uri), value]));
}

/** A report for each file, and an empty one for each that the client knows of and that is gone; `known` is kept up to date. */
async function* reports(
  session: Session,
  known: Known,
  cancel: CancellationToken,
): AsyncGenerator<WorkspaceDocumentDiagnosticReport, void, undefined> {
  const uris = await filesOf(session);
  const pause = pauses(cancel);
  for (const uri of uris) {
    endIfCancelled(cancel);
    const found = await problemsUnlessMoved(session, uri);
    if (found !== undefined) {
      yield reportOf(uri, found, known.get(uri));
      known.set(uri, found.resultId);
    }
    await pause();
  }
  endIfCancelled(cancel);
  const listed = new Set(uris);
  // An editor keeps the text of a file that was deleted for minutes after its tab was closed.
  for (const uri of new Set([...known.keys(), ...session.gone.keys()])) {
    const isGone = session.gone.has(uri);
    if (listed.has(uri) || (session.documents.has(uri) && !isGone) || known.get(uri) === GONE) continue;
    if (isGone) known.set(uri, GONE);
    else known.delete(uri);
    yield { kind: DocumentDiagnosticReportKind.Full, uri, version: null, items: [] };
  }
}

async function filesOf(session: Session): Promise<readonly string[]> {
  if (!(await session.settings()).workspaceDiagnostics) return [];
  const { dumps, profiles, retrofits } = await session.list();
  return [...dumps, ...profiles, ...retrofits];
}

/** A document that moves on while it is looked at is asked for by itself. */
async function problemsUnlessMoved(session: Session, uri: string): Promise<FileProblems | undefined> {
  try {
    return await problemsOfFile(session, uri);
  } catch {
    return undefined;
  }
}

function reportOf(
  uri: string,
  { version, items, resultId }: FileProblems,
  before: string | undefined,
): WorkspaceDocumentDiagnosticReport {
  return resultId === before
    ? { kind: DocumentDiagnosticReportKind.Unchanged, uri, version, resultId }
    : { kind: DocumentDiagnosticReportKind.Full, uri, version, resultId, items: [...items] };
}

function cancelled(cancel: CancellationToken): Promise<void> {
  return new Promise((resolve) => {
    if (cancel.isCancellationRequested) resolve();
    else cancel.onCancellationRequested(() => resolve());
  });
}

/** Changes come in bursts, and at the start the person waits for one dump: all files are looked through after that. In milliseconds. */
const BURST = 300;

function settled(): Promise<void> {
  return new Promise((resolve) => {
    setTimeout(resolve, BURST);
  });
}
