import * as vscode from 'vscode';

/** The texts whose files hold something else, or that are in no file yet. */
export function unsavedTexts(): readonly string[] {
  return vscode.workspace.textDocuments
    .filter(({ isDirty, isUntitled }) => isDirty || isUntitled)
    .map(({ uri }) => uri.toString());
}
