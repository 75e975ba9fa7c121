import * as vscode from 'vscode';
import { SHARE, type ShareParams, type ShareResult } from '../../../shared-core/src/protocol/share.js';
import { type Command, onDump } from '../command.js';
import { exists, writeText } from '../newFile.js';
import { nameOf } from '../places.js';
import { headersFile } from '../rawPair.js';
import { isRaw, rawUri } from '../rawUri.js';
import { askText, inform, warn } from '../ui.js';
import { HAS_DUMP } from './conditions.js';

/** *Share a Copy…*: the dump and its backup without VIN and serial numbers in a new folder, and a page that says what was left. */
export const shareCopy: Command = {
  id: 'shareCopy',
  title: 'Share a Copy…',
  does: 'puts copies of the dump, its backup and its profiles into a new folder, without VIN, serial numbers and personal places, all sums kept right',
  when: HAS_DUMP,
  run: onDump(async ({ ask, showPage }, { uri }) => {
    const dump = uri.toString();
    const first = await ask<ShareResult>(SHARE, { uri: dump });
    if (first === undefined) return;
    const hide = await askToHide(first);
    if (hide === undefined) return;
    const params: ShareParams = { uri: dump, hide };
    const shared = hide.length === 0 ? first : await ask<ShareResult>(SHARE, params);
    if (shared === undefined) return;
    const folder = await chooseFolder();
    if (folder === undefined) return;
    await fill(folder, async (at) => {
      // Raw bytes become raw bytes again, with their headers beside them.
      const asRaw = (file: vscode.Uri) => (isRaw(uri) ? rawUri(file) : file);
      for (const { name, text, headers } of shared.dumps) {
        await writeText(asRaw(at(name)), text);
        if (headers !== '') await writeText(headersFile(at(name)), headers);
      }
      for (const { name, text } of shared.profiles) await writeText(at(name), text);
    });
    await showPage(vscode.l10n.t('Copies to share'), shared.page);
    const count = shared.dumps.length + shared.profiles.length;
    const said = vscode.l10n.t('{0} files are in {1}.', count, folder.fsPath);
    if ((await inform(said, 'openFolder')) === 'openFolder')
      await vscode.commands.executeCommand('vscode.openFolder', folder, { forceNewWindow: true });
  }),
};

/** What a person knows and no dump says, such as the VIN: nothing is asked where nothing is in doubt. */
async function askToHide({ doubts, vins }: ShareResult): Promise<readonly string[] | undefined> {
  if (doubts.length === 0) return [];
  const text = await askText({
    title: vscode.l10n.t('What is to be hidden too? A VIN, a serial number or a name; several with commas'),
    prompt: vscode.l10n.t('Leave it empty to hide nothing more; the page that follows says what to look at.'),
    value: vins.join(', '),
    ignoreFocusOut: true,
  });
  return text
    ?.split(',')
    .map((one) => one.trim())
    .filter((one) => one !== '');
}

/** A folder that is not there yet, in one that a person chooses. */
async function chooseFolder(): Promise<vscode.Uri | undefined> {
  const title = vscode.l10n.t('Where should the folder of the copies be made?');
  const [open] = vscode.workspace.workspaceFolders ?? [];
  const defaultUri = open && vscode.Uri.joinPath(open.uri, '..');
  const asking = { title, canSelectFiles: false, canSelectFolders: true, ...(defaultUri && { defaultUri }) };
  const [parent] = (await vscode.window.showOpenDialog(asking)) ?? [];
  if (parent === undefined) return undefined;
  if (vscode.workspace.getWorkspaceFolder(parent) !== undefined) {
    const says = vscode.l10n.t(
      'In a folder that is open here, copies would count as dumps of a vehicle. Choose one outside of it.',
    );
    return (await warn(says, 'chooseAgain')) === 'chooseAgain' ? chooseFolder() : undefined;
  }
  for (let number = 1; ; number++) {
    const made = vscode.Uri.joinPath(parent, number === 1 ? 'copies-to-share' : `copies-to-share-${number}`);
    if (!(await exists(made))) return made;
  }
}

/** Makes a folder with all that is written, or none: until all is there it has another name, which no list of dumps takes. */
async function fill(folder: vscode.Uri, write: (at: (name: string) => vscode.Uri) => Promise<void>): Promise<void> {
  const part = vscode.Uri.joinPath(folder, '..', `.${nameOf(folder)}.part`);
  const remove = async () => {
    if (await exists(part)) await vscode.workspace.fs.delete(part, { recursive: true });
  };
  await remove();
  try {
    await write((name) => vscode.Uri.joinPath(part, name));
    await vscode.workspace.fs.rename(part, folder, { overwrite: false });
  } catch (error) {
    await remove();
    throw error;
  }
}
