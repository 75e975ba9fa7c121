import * as vscode from 'vscode';
import { isDump } from './activeDump.js';

/** The seal of a dump stands at its head, that of a memory image behind its end record. */
const LINES = 20;

function isSealed(document: vscode.TextDocument): boolean {
  for (let line = 0; line < document.lineCount; line++) {
    if (line === LINES) line = Math.max(line, document.lineCount - LINES);
    if (/^[\s;#/]*@seal(?![\w-])/i.test(document.lineAt(line).text)) return true;
  }
  return false;
}

/** A sealed backup opens read-only: it is the way back, and an edit would break its seal. */
export function protectSealed(): vscode.Disposable {
  const protect = async (editor: vscode.TextEditor | undefined): Promise<void> => {
    if (!editor || !isDump(editor.document) || !isSealed(editor.document)) return;
    await vscode.commands.executeCommand('workbench.action.files.setActiveEditorReadonlyInSession');
  };
  void protect(vscode.window.activeTextEditor);
  return vscode.Disposable.from(
    vscode.window.onDidChangeActiveTextEditor(protect),
    // A text that becomes a dump while it is on the screen is opened anew.
    vscode.workspace.onDidOpenTextDocument((document) => {
      if (document === vscode.window.activeTextEditor?.document) void protect(vscode.window.activeTextEditor);
    }),
  );
}
