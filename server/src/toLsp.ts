import type { Change } from '../../shared-core/src/actions/index.js';
import { oneLine, type RowSpan, type TextEdit } from '../../shared-core/src/base/index.js';
import type { Problem, Severity } from '../../shared-core/src/checks/index.js';
import type { InitializationOptions } from '../../shared-core/src/protocol/initialization.js';
import {
  type Diagnostic,
  DiagnosticSeverity,
  type TextEdit as LspEdit,
  type Range,
  type TextDocumentEdit,
  type WorkspaceEdit,
} from './lsp.js';
import type { FileAnalysis, Session } from './session.js';

export function toRange({ row, start, end }: RowSpan): Range {
  return { start: { line: row, character: start }, end: { line: row, character: end } };
}

export const SEVERITIES: Readonly<Record<Severity, DiagnosticSeverity>> = {
  error: DiagnosticSeverity.Error,
  warning: DiagnosticSeverity.Warning,
  information: DiagnosticSeverity.Information,
};

export function toDiagnostic(session: Session, uri: string, problem: Problem): Diagnostic {
  const { related } = problem;
  return {
    range: toRange(problem),
    severity: SEVERITIES[problem.severity],
    ...known(session, problem.code),
    message: session.say(problem.message),
    ...(related && {
      relatedInformation: [
        { location: { uri: related.file ?? uri, range: toRange(related.span) }, message: session.say(related.message) },
      ],
    }),
  };
}

/** By what a problem is known: its code, whose it is, and where it is explained, for a client that says so. */
export function known(
  { client }: Pick<Session, 'client'>,
  code: string,
): Pick<Diagnostic, 'code' | 'source' | 'codeDescription'> {
  const { problems } = (client.initializationOptions ?? {}) as InitializationOptions;
  const codeDescription = typeof problems === 'string' ? { href: `${problems}${code}` } : undefined;
  return { code, source: 'countersum', ...(codeDescription && { codeDescription }) };
}

export function toLspEdits(edits: readonly TextEdit[]): LspEdit[] {
  return edits.map((edit) => ({ range: toRange(edit), newText: edit.text }));
}

/** An edit of one document that the editor refuses when the document has moved on. */
export function toWorkspaceEdit(
  session: Pick<Session, 'client'>,
  { file: uri, version }: Pick<FileAnalysis, 'file' | 'version'>,
  edits: readonly TextEdit[],
): WorkspaceEdit {
  return toFilesEdit(session, [{ textDocument: { uri, version }, edits: toLspEdits(edits) }]);
}

/** Edits of several files, in the form that the client takes. */
export function toFilesEdit({ client }: Pick<Session, 'client'>, edits: readonly TextDocumentEdit[]): WorkspaceEdit {
  if (client.capabilities.workspace?.workspaceEdit?.documentChanges === true) return { documentChanges: [...edits] };
  return {
    changes: Object.fromEntries(edits.map(({ textDocument, edits: own }) => [textDocument.uri, own as LspEdit[]])),
  };
}

/**
 * An edit whose cautions the editor shows where it previews edits: the title of a quick fix has them in short, this has
 * them whole. Where the title was shown before the change was found, the editor asks first.
 */
export function toCautiousEdit(
  session: Pick<Session, 'client' | 'say'>,
  { file, version }: Pick<FileAnalysis, 'file' | 'version'>,
  label: string,
  { edits, cautions }: Pick<Change, 'edits' | 'cautions'>,
  asksFirst = false,
): WorkspaceEdit {
  const shows = session.client.capabilities.workspace?.workspaceEdit?.changeAnnotationSupport !== undefined;
  if (cautions.length === 0 || !shows) return toWorkspaceEdit(session, { file, version }, edits);
  const description = oneLine(cautions.map(session.say).join(' '));
  return {
    documentChanges: [
      {
        textDocument: { uri: file, version },
        edits: toLspEdits(edits).map((edit) => ({ ...edit, annotationId: CAUTION })),
      },
    ],
    changeAnnotations: { [CAUTION]: { label, description, ...(asksFirst && { needsConfirmation: true }) } },
  };
}

const CAUTION = 'caution';
