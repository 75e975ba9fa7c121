import { sha256 } from '@noble/hashes/sha2.js';
import { utf8ToBytes } from '@noble/hashes/utils.js';
import {
  type Connection,
  type Diagnostic,
  DiagnosticSeverity,
  DocumentDiagnosticReportKind,
} from 'vscode-languageserver';
import {
  canonicalUri,
  checkDump,
  checkRetrofit,
  foreignConditionProblems,
  hexBytes,
  type JsonSpan,
  type Phrase,
  type Profile,
  profilesAskedFor,
  readRetrofit,
  resolveUri,
  valueIn,
} from '../../../shared-core/src/index.js';
import { answer, type Feature } from '../feature.js';
import { type JsonFile, readJsonFile, toJsonRange } from '../jsonFile.js';
import type { FileAnalysis, Session } from '../session.js';
import { toDiagnostic } from '../toLsp.js';

/** Marks what is wrong: on request where the client asks, else pushed after each change. */
export const diagnostics: Feature = {
  capabilities: (session) =>
    pulls(session)
      ? { diagnosticProvider: { identifier: 'countersum', interFileDependencies: true, workspaceDiagnostics: true } }
      : {},
  register: (connection, session) => {
    connection.languages.diagnostics.on(async ({ textDocument: { uri }, previousResultId }) => {
      const found = (await isOurs(session, uri)) ? await problemsOfFile(session, uri) : undefined;
      const { resultId, items } = found ?? problemsAre(null, []);
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

/** Everything that is wrong with a file, open or not; undefined where it cannot be read. */
export async function problemsOfFile(session: Session, uri: string): Promise<FileProblems | undefined> {
  const file = await readJsonFile(session, uri);
  if (file !== undefined) {
    const problems =
      file.kind === 'profile' ? await profileProblems(session, uri) : await retrofitProblems(session, file);
    return problemsAre(file.version, inJson(session, file, problems));
  }
  const found = session.documents.has(uri)
    ? await answer<FileAnalysis | undefined>(session, uri, (explained) => explained, undefined)
    : await session.analyzeFile(uri, LONGEST_CLOSED);
  if (found === undefined) return undefined;
  return problemsAre(
    found.version,
    checkDump(found).map((problem) => toDiagnostic(session, uri, problem)),
  );
}

function problemsAre(version: number | null, items: readonly Diagnostic[]): FileProblems {
  const digest = sha256(utf8ToBytes(JSON.stringify(items)));
  return { version, items, resultId: hexBytes(digest.subarray(0, 8)) };
}

/** A profile by itself, and held against the profiles of other modules that its conditions name. */
async function profileProblems(session: Session, uri: string): Promise<readonly JsonProblem[]> {
  const reading = valueIn(await session.files.readProfile(uri));
  if (reading === undefined) return [];
  const others = new Map<string, Profile | undefined>();
  for (const path of profilesAskedFor(reading.profile)) {
    const other = valueIn(await session.files.readProfile(resolveUri(uri, path)));
    // Half a profile lacks options that are written down all the same.
    others.set(path, other?.problems.length === 0 ? other.profile : undefined);
  }
  return [...reading.problems, ...foreignConditionProblems(reading.profile, (path) => others.get(path))];
}

/** A retrofit by itself, and held against the profiles that it names. */
async function retrofitProblems(session: Session, { uri, document }: JsonFile): Promise<readonly JsonProblem[]> {
  const { retrofit, problems } = readRetrofit(document.getText());
  if (retrofit === undefined) return problems;
  const readings = await Promise.all(
    retrofit.changes.map(
      async ({ profile }) =>
        [profile, valueIn(await session.files.readProfile(resolveUri(uri, profile)))?.profile] as const,
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

function inJson(session: Session, file: JsonFile, problems: readonly JsonProblem[]): Diagnostic[] {
  return problems.map(({ code, span, message }) => ({
    range: toJsonRange(file, span),
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
      const found = await problemsOfFile(session, uri);
      await connection.sendDiagnostics({ uri, version, diagnostics: [...(found?.items ?? [])] });
    } catch {
      // The document has moved on; the change that moved it pushes again.
    }
  }
}
