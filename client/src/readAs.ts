import * as vscode from 'vscode';

/** *Read this file as …*: the quick fix for a memory image whose name promises another notation. */
export function registerReadAs(): vscode.Disposable {
  return vscode.commands.registerCommand('countersum._readAs', async (uri: string, language: string) => {
    const document = await vscode.workspace.openTextDocument(vscode.Uri.parse(uri));
    await vscode.languages.setTextDocumentLanguage(document, language);
  });
}
