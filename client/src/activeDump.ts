import * as vscode from 'vscode';
import { DUMP_LANGUAGES } from './forms.js';
import { inform } from './ui.js';

/** The dump in the active editor, or else the one that a person was in last, while it is open; where there is none, they are told. */
export function activeDump(current: {
  readonly document: () => vscode.TextDocument | undefined;
}): vscode.TextDocument | undefined {
  const document = vscode.window.activeTextEditor?.document;
  if (document && isDump(document)) return document;
  const last = current.document();
  if (last !== undefined) return last;
  void inform(vscode.l10n.t('Open a configuration dump (*.cfgdump) or a memory image (*.hex, *.s19) first.'));
  return undefined;
}

/** Whether a document is a dump; the other side of a comparison is none of its own. */
export function isDump({ languageId, uri }: vscode.TextDocument): boolean {
  return DUMP_LANGUAGES.includes(languageId) && uri.scheme !== 'countersum';
}
