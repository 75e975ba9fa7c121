import * as vscode from 'vscode';

/** The dump in the active editor; where there is none, the user is told. */
export function activeDump(): vscode.TextDocument | undefined {
  const document = vscode.window.activeTextEditor?.document;
  if (document?.languageId === 'cfgdump' && document.uri.scheme !== 'countersum') return document;
  void vscode.window.showInformationMessage(vscode.l10n.t('Open a configuration dump (*.cfgdump) first.'));
  return undefined;
}

/** Shows why something cannot be done, where an answer says so. */
export function isRefusal(answer: object): answer is { readonly refused: string } {
  if (!('refused' in answer)) return false;
  void vscode.window.showWarningMessage(String(answer.refused));
  return true;
}
