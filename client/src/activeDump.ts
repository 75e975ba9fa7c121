import * as vscode from 'vscode';

/** Languages of dumps: lines with labels, and memory images. */
export const DUMP_LANGUAGES: readonly string[] = ['cfgdump', 'intel-hex', 's-record'];

/** The dump in the active editor, or the only one in sight where a page is active; where there is none, the user is told. */
export function activeDump(): vscode.TextDocument | undefined {
  const document = vscode.window.activeTextEditor?.document;
  if (document && isDump(document)) return document;
  const [only, ...others] = new Set(vscode.window.visibleTextEditors.map((editor) => editor.document).filter(isDump));
  if (document === undefined && only !== undefined && others.length === 0) return only;
  void vscode.window.showInformationMessage(
    vscode.l10n.t('Open a configuration dump (*.cfgdump) or a memory image (*.hex, *.s19) first.'),
  );
  return undefined;
}

/** Whether a document is a dump; the other side of a comparison is none of its own. */
export function isDump({ languageId, uri }: vscode.TextDocument): boolean {
  return DUMP_LANGUAGES.includes(languageId) && uri.scheme !== 'countersum';
}

/** Shows why something cannot be done, where an answer says so. */
export function isRefusal(answer: object): answer is { readonly refused: string } {
  if (!('refused' in answer)) return false;
  void vscode.window.showWarningMessage(String(answer.refused));
  return true;
}
