import * as vscode from 'vscode';
import { SHARE, type ShareResult } from '../../../shared-core/src/index.js';
import { type Command, onDump } from '../command.js';
import { exists, writeText } from '../newFile.js';
import { headersFile } from '../rawPair.js';
import { isRaw, rawUri } from '../rawUri.js';
import { warn } from '../ui.js';
import { HAS_DUMP } from './conditions.js';

/** *Share a Copy…*: the dump and its backup without VIN and serial numbers in a folder, and a page that says what was left. */
export const shareCopy: Command = {
  id: 'shareCopy',
  title: 'Share a Copy…',
  does: 'puts copies of the dump, its backup and its profiles into a folder, without VIN, serial numbers and personal places, all sums kept right',
  when: HAS_DUMP,
  run: onDump(async ({ ask, showPage }, { uri }) => {
    const shared = await ask<ShareResult>(SHARE, { uri: uri.toString() });
    if (shared === undefined) return;
    const title = vscode.l10n.t('Which folder gets the copies?');
    const [folder] =
      (await vscode.window.showOpenDialog({ title, canSelectFiles: false, canSelectFolders: true })) ?? [];
    if (folder === undefined) return;
    const at = (name: string) => vscode.Uri.joinPath(folder, name);
    // Raw bytes become raw bytes again, with their headers beside them.
    const asRaw = (file: vscode.Uri) => (isRaw(uri) ? rawUri(file) : file);
    for (const { name } of [...shared.dumps, ...shared.profiles]) {
      if (!(await exists(at(name))) && !(await exists(headersFile(at(name))))) continue;
      void warn(vscode.l10n.t('{0} exists there. Choose another folder; nothing was written.', name));
      return;
    }
    for (const { name, text } of shared.dumps) await writeText(asRaw(at(name)), text);
    for (const { name, text } of shared.profiles) await writeText(at(name), text);
    await showPage(vscode.l10n.t('Copies to share'), shared.page);
  }),
};
