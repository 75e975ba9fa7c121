import * as vscode from 'vscode';
import type { Command } from '../command.js';
import { warn } from '../ui.js';

/** *Go to the first problem of the profile*: the quick fix of a dump whose profile has problems. */
export const openProfile: Command = {
  id: '_openProfile',
  run: async (_, _dump: string, profile: string | null, offset: number | null) => {
    try {
      const document = await vscode.workspace.openTextDocument(vscode.Uri.parse(profile ?? ''));
      const at = document.positionAt(offset ?? 0);
      await vscode.window.showTextDocument(document, { selection: new vscode.Range(at, at) });
    } catch {
      void warn(vscode.l10n.t('The profile that this dump names cannot be opened. Look at its name and its place.'));
    }
  },
};
