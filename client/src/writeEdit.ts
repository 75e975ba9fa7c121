import * as vscode from 'vscode';
import type { AskServer } from './ask.js';
import { nameOf } from './places.js';

/** Puts an edit into texts of the editor, and says what became of their files; undefined where the editor does not take it. */
export type WriteEdit = (edit: vscode.WorkspaceEdit) => Promise<string | undefined>;

/** What it takes to ask the server for an edit and make it. */
export interface Writing {
  readonly ask: AskServer;
  readonly write: WriteEdit;
}

/** The texts stay unsaved. */
export const intoTexts: WriteEdit = async (edit) => ((await vscode.workspace.applyEdit(edit)) ? '' : undefined);

/**
 * As a button of the *Job* view writes: the next step and other programs read the files, so these are saved. Where one of
 * the texts had unsaved changes before, all stay unsaved: those are the person's, and part of an edit is never saved alone.
 */
export const intoFiles: WriteEdit = async (edit) => {
  const documents = await Promise.all(edit.entries().map(([uri]) => vscode.workspace.openTextDocument(uri)));
  const unsaved = documents.filter(({ isDirty, isUntitled }) => isDirty || isUntitled);
  if (!(await vscode.workspace.applyEdit(edit))) return undefined;
  const files = unsaved.filter(({ isUntitled }) => !isUntitled);
  if (files.length > 0) return vscode.l10n.t('Still unsaved: {0}.', namesOf(files));
  if (unsaved.length > 0) return '';
  for (const document of documents) await document.save();
  const left = documents.filter(({ isDirty }) => isDirty);
  if (left.length > 0) return vscode.l10n.t('{0} could not be saved.', namesOf(left));
  return documents.length > 1
    ? vscode.l10n.t('Saved: {0} files.', documents.length)
    : vscode.l10n.t('Saved: {0}.', namesOf(documents));
};

function namesOf(documents: readonly vscode.TextDocument[]): string {
  return documents.map(({ uri }) => nameOf(uri)).join(', ');
}
