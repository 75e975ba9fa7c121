import * as vscode from 'vscode';
import type { HeaderPlace } from '../../shared-core/src/index.js';
import { nameOf } from './places.js';
import { warn } from './ui.js';

/** A dump that has a folder, and where it is to name its profile. */
interface Placed {
  readonly dump: vscode.Uri;
  readonly naming: HeaderPlace | null;
}

/** A text that is in no file yet is saved first, as its profile goes into the same folder; undefined where it is not. */
export async function savedFirst({ dump, naming }: Placed): Promise<Placed | undefined> {
  if (dump.scheme !== 'untitled') return { dump, naming };
  // What was saved from elsewhere is another text with another name, and nobody says which.
  if (!vscode.workspace.textDocuments.some(({ uri }) => uri.toString() === dump.toString())) {
    void warn(vscode.l10n.t('{0} was saved or closed meanwhile. Work out the rule in the saved dump.', nameOf(dump)));
    return undefined;
  }
  const why = vscode.l10n.t('The dump is not saved yet, and its profile goes into the same folder.');
  if ((await warn(why, 'saveDump')) !== 'saveDump') return undefined;
  const before = await vscode.workspace.openTextDocument(dump);
  const isSame = naming === null || naming.version === null || before.version === naming.version;
  await vscode.window.showTextDocument(before);
  await vscode.commands.executeCommand('workbench.action.files.save');
  const after = vscode.window.activeTextEditor?.document;
  if (after === undefined || after.uri.scheme === 'untitled') return undefined;
  // What has changed since is refused as it would be in the same text.
  return { dump: after.uri, naming: naming && { ...naming, version: isSame ? after.version : -1 } };
}
