import * as vscode from 'vscode';
import { DUMP_LANGUAGES } from './forms.js';
import { inform } from './ui.js';

/** The dump in the active editor, or the only one in sight where a page is active; where there is none, the user is told. */
export function activeDump(): vscode.TextDocument | undefined {
  const document = vscode.window.activeTextEditor?.document;
  if (document && isDump(document)) return document;
  const [only, ...others] = new Set(vscode.window.visibleTextEditors.map((editor) => editor.document).filter(isDump));
  if (document === undefined && only !== undefined && others.length === 0) return only;
  void inform(vscode.l10n.t('Open a configuration dump (*.cfgdump) or a memory image (*.hex, *.s19) first.'));
  return undefined;
}

/** Whether a document is a dump; the other side of a comparison is none of its own. */
export function isDump({ languageId, uri }: vscode.TextDocument): boolean {
  return DUMP_LANGUAGES.includes(languageId) && uri.scheme !== 'countersum';
}
