import * as vscode from 'vscode';

/** A sealed backup opens read-only: it is the way back, and an edit would break its seal. */
export function protectSealed(): vscode.Disposable {
  const protect = async (editor: vscode.TextEditor | undefined): Promise<void> => {
    if (editor?.document.languageId !== 'cfgdump' || editor.document.uri.scheme === 'countersum') return;
    if (!/^@seal\s+\S/m.test(editor.document.getText().slice(0, 4000))) return;
    await vscode.commands.executeCommand('workbench.action.files.setActiveEditorReadonlyInSession');
  };
  void protect(vscode.window.activeTextEditor);
  return vscode.window.onDidChangeActiveTextEditor(protect);
}
