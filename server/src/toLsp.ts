import {
  type Diagnostic,
  DiagnosticSeverity,
  type TextEdit as LspEdit,
  type Range,
  type TextDocumentEdit,
  type WorkspaceEdit,
} from 'vscode-languageserver';
import type { Problem, RowSpan, Severity, TextEdit } from '../../shared-core/src/index.js';
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
    code: problem.code,
    source: 'countersum',
    message: session.say(problem.message),
    ...(related && {
      relatedInformation: [
        { location: { uri: related.file ?? uri, range: toRange(related.span) }, message: session.say(related.message) },
      ],
    }),
  };
}

export function toLspEdits(edits: readonly TextEdit[]): LspEdit[] {
  return edits.map((edit) => ({ range: toRange(edit), newText: edit.text }));
}

/** An edit of one document that the editor refuses when the document has moved on. */
export function toWorkspaceEdit(
  session: Pick<Session, 'client'>,
  { uri, version }: Pick<FileAnalysis, 'uri' | 'version'>,
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
