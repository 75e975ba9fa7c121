import * as vscode from 'vscode';
import type { Command } from '../command.js';

/** *Read this file as …*: the quick fix for a memory image whose name promises another form. */
export const readAs: Command = {
  id: '_readAs',
  run: async ({ client }, uri: string, language: string) => {
    const document = await vscode.workspace.openTextDocument(client.protocol2CodeConverter.asUri(uri));
    await vscode.languages.setTextDocumentLanguage(document, language);
  },
};
