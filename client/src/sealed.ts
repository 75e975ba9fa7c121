import * as vscode from 'vscode';
import { isDump } from './activeDump.js';

/** The seal of a dump stands at its head, that of a memory image behind its end record. */
const LINES = 20;

function isSealed(document: vscode.TextDocument): boolean {
  for (let line = 0; line < document.lineCount; line++) {
    if (line === LINES) line = Math.max(line, document.lineCount - LINES);
    if (/^[\s;#/]*@seal\s+\S/.test(document.lineAt(line).text)) return true;
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
  return vscode.window.onDidChangeActiveTextEditor(protect);
}
