import { type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import { checkDump, DIAGNOSTICS, shownProblems } from '../../../shared-core/src/checks/index.js';
import {
  canonicalUri,
  fileName,
  HEADERS_BESIDE,
  type JsonProblem,
  kindOf,
  profileProblems,
  retrofitProblems,
} from '../../../shared-core/src/workspace/index.js';
import { rowsInDocument } from '../documents.js';
import { answer, type Feature } from '../feature.js';
import { type JsonFile, readIfJson, readProfileFile, toJsonRange } from '../jsonFile.js';
import {
  type Connection,
  type Diagnostic,
  DiagnosticSeverity,
  DocumentDiagnosticReportKind,
  type Location,
} from '../lsp.js';
import type { FileAnalysis, Session } from '../session.js';
import { known, SEVERITIES, toDiagnostic } from '../toLsp.js';

/** Marks what is wrong: on request where the client asks, else pushed after each change. */
export const diagnostics: Feature = {
  capabilities: (session) =>
    pulls(session)
      ? { diagnosticProvider: { identifier: 'countersum', interFileDependencies: true, workspaceDiagnostics: true } }
      : {},
  register: (connection, session) => {
    connection.languages.diagnostics.on(async ({ textDocument: { uri }, previousResultId }) => {
      const found = (await isOurs(session, uri)) ? await problemsOfFile(session, uri) : undefined;
      const { resultId, items } = found ?? problemsAre(session, uri, null, []);
      return resultId === previousResultId
        ? { kind: DocumentDiagnosticReportKind.Unchanged, resultId }
        : { kind: DocumentDiagnosticReportKind.Full, resultId, items: [...items] };
    });
  },
};

/** Editors ask once more for a file that was just closed: one of the workspace stays in the list of problems, others do not. */
async function isOurs(session: Session, uri: string): Promise<boolean> {
  if (session.documents.has(uri)) return true;
  if (!(await session.settings()).workspaceDiagnostics) return false;
  return Object.values(await session.list()).some((files: readonly string[]) => files.includes(canonicalUri(uri)));
}

export function pulls({ client }: Session): boolean {
  return client.capabilities.textDocument?.diagnostic !== undefined;
}

/** Everything that is wrong with a file. */
export interface FileProblems {
  /** `null` where it is not open. */
  readonly version: number | null;
  readonly items: readonly Diagnostic[];
  /** The same for the same problems. */
  readonly resultId: string;
}

/** Closed files longer than this are checked once they are opened: each would hold up the editor for more than a blink. */
const LONGEST_CLOSED = 1_000_000;

/** Everything that is wrong with a file, open or not; undefined where it is open no more. */
export async function problemsOfFile(session: Session, uri: string): Promise<FileProblems | undefined> {
  const json = await readIfJson(session, uri);
  if (json?.ok === false) return problemsAre(session, uri, null, [unreadable(session, uri, json.why)]);
  if (json !== undefined) {
    const file = json.value;
    return problemsAre(session, uri, file.version, await jsonProblems(session, file));
  }
  if (session.documents.has(uri)) {
    const open = await answer<FileProblems | undefined>(session, uri, (found) => problemsIn(session, found), undefined);
    if (open !== undefined || session.documents.get(uri)?.kind !== 'dump') return open;
    // With headers beside it that are not read it is another dump.
  }
  const closed = await session.analyzeFile(uri, LONGEST_CLOSED);
  return closed.ok
    ? problemsIn(session, closed.value)
    : problemsAre(session, uri, null, [notChecked(session, uri, closed.why)]);
}

function problemsIn(session: Session, analysis: FileAnalysis): FileProblems {
  const { dump, file } = analysis;
  const count = rowsInDocument(dump, session.documents.get(file));
  const items = shownProblems(checkDump(analysis)).map((problem) => {
    if (problem.row < count) return toDiagnostic(session, file, problem);
    const message = phrase('{0}: {1}', `${fileName(file)}${HEADERS_BESIDE}`, problem.message);
    return toDiagnostic(session, file, { ...problem, message, row: 0, start: 0, end: 0 });
  });
  return problemsAre(session, analysis.file, analysis.version, items);
}

/** What is said of a file that was not looked at: nothing would look as if all of it were good. */
function notChecked(session: Session, uri: string, why: Phrase): Diagnostic {
  const start = { line: 0, character: 0 };
  const isOpen = session.documents.has(uri);
  return {
    range: { start, end: start },
    severity: isOpen ? DiagnosticSeverity.Error : DiagnosticSeverity.Information,
    ...known(session, 'not-checked'),
    message: session.say(isOpen ? why : phrase('This file is not checked until it is opened: {0}.', why)),
  };
}

/** What is said of a profile or a retrofit that cannot be read. */
function unreadable(session: Session, uri: string, why: Phrase): Diagnostic {
  const start = { line: 0, character: 0 };
  const code = kindOf(uri) === 'retrofits' ? 'retrofit-invalid' : 'profile-unreadable';
  return {
    range: { start, end: start },
    severity: SEVERITIES[DIAGNOSTICS[code].severity],
    ...known(session, code),
    message: session.say(phrase('{0} cannot be read: {1}', fileName(uri), why)),
  };
}

function problemsAre(
  { resultIds }: Session,
  uri: string,
  version: number | null,
  items: readonly Diagnostic[],
): FileProblems {
  return { version, items, resultId: resultIds(uri, items) };
}

async function jsonProblems(session: Session, file: JsonFile): Promise<readonly Diagnostic[]> {
  const { kind, uri, document } = file;
  const { readProfile } = session.files;
  if (kind === 'retrofit') return inJson(session, file, await retrofitProblems(uri, document.getText(), readProfile));
  const reading = await readProfile(uri);
  if (!reading.ok) return [unreadable(session, uri, reading.why)];
  return inJson(session, file, await profileProblems(uri, reading.value, readProfile));
}

async function inJson(session: Session, file: JsonFile, problems: readonly JsonProblem[]): Promise<Diagnostic[]> {
  const found: Diagnostic[] = [];
  for (const { code, span, there, message } of problems) {
    const place = await placeThere(session, there);
    found.push({
      range: toJsonRange(file, span),
      severity: SEVERITIES[DIAGNOSTICS[code].severity],
      ...known(session, code),
      message: session.say(message),
      ...(place && { relatedInformation: [{ location: place, message: session.say(phrase('The problem is here.')) }] }),
    });
  }
  return found;
}

/** The place of a problem in a profile that is extended. */
async function placeThere(session: Session, there: JsonProblem['there']): Promise<Location | undefined> {
  const file = there?.file === undefined ? undefined : await readProfileFile(session, there.file);
  return file && there && { uri: file.uri, range: toJsonRange(file, there) };
}

/** Pushes the problems of all open documents, with the version they are of, to a client that does not ask. */
export async function pushAll(connection: Connection, session: Session): Promise<void> {
  for (const { uri, version } of [...session.documents.values()]) {
    try {
      const found = await problemsOfFile(session, uri);
      await connection.sendDiagnostics({ uri, version, diagnostics: [...(found?.items ?? [])] });
    } catch {
      // The document has moved on; the change that moved it pushes again.
    }
  }
}
