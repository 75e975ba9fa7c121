import * as vscode from 'vscode';
import { SHARE, type ShareParams, type ShareResult } from '../../../shared-core/src/index.js';
import { type Command, onDump } from '../command.js';
import { exists, writeText } from '../newFile.js';
import { isRaw, rawUri } from '../rawUri.js';
import { askText, inform, warn } from '../ui.js';
import { HAS_DUMP } from './conditions.js';

/** *Share a Copy…*: the dump and its backup without VIN and serial numbers in a folder, and a page that says what was left. */
export const shareCopy: Command = {
  id: 'shareCopy',
  title: 'Share a Copy…',
  does: 'puts copies of the dump, its backup and its profiles into a folder, without VIN, serial numbers and personal places, all sums kept right',
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
    const files = [...shared.dumps, ...shared.profiles].map(({ name }) => name);
    const folder = await chooseFolder();
    if (folder === undefined) return;
    const at = (name: string) => vscode.Uri.joinPath(folder, name);
    // Raw bytes become raw bytes again, with their headers beside them.
    const asRaw = (file: vscode.Uri) => (isRaw(uri) ? rawUri(file) : file);
    for (const { name, text } of shared.dumps) await writeText(asRaw(at(name)), text);
    for (const { name, text } of shared.profiles) await writeText(at(name), text);
    await showPage(vscode.l10n.t('Copies to share'), shared.page);
    const said = vscode.l10n.t('{0} files are in {1}.', files.length, folder.fsPath);
    if ((await inform(said, 'openFolder')) === 'openFolder')
      await vscode.commands.executeCommand('vscode.openFolder', folder, { forceNewWindow: true });
  }),
};

/** What a person knows and no dump says, such as the VIN: nothing is asked where nothing is in doubt. */
async function askToHide({ doubts, vins }: ShareResult): Promise<readonly string[] | undefined> {
  if (doubts.length === 0) return [];
  const text = await askText({
    title: vscode.l10n.t('What is to be hidden too? A VIN, a serial number or a name; several with commas'),
    prompt: [vscode.l10n.t('Leave it empty to hide nothing more.'), ...doubts.map(asSentence)].join(' '),
    value: vins.join(', '),
    ignoreFocusOut: true,
  });
  return text
    ?.split(',')
    .map((one) => one.trim())
    .filter((one) => one !== '');
}

function asSentence(text: string): string {
  return /[.!?]$/.test(text) ? text : `${text}.`;
}

/** A folder in which nothing is yet; in one that is not empty, a new one can be made. */
async function chooseFolder(): Promise<vscode.Uri | undefined> {
  const title = vscode.l10n.t('Which folder gets the copies?');
  for (;;) {
    const [folder] =
      (await vscode.window.showOpenDialog({ title, canSelectFiles: false, canSelectFolders: true })) ?? [];
    if (folder === undefined) return undefined;
    const [there] = (await vscode.workspace.fs.readDirectory(folder)).map(([name]) => name);
    if (there === undefined) return folder;
    const said = vscode.l10n.t(
      'That folder is not empty ({0} is in it), and copies have the names of your dumps. Nothing was written yet.',
      there,
    );
    const pressed = await warn(said, 'newFolder', 'chooseAgain');
    if (pressed === 'newFolder') return newFolderIn(folder);
    if (pressed !== 'chooseAgain') return undefined;
  }
}

/** Files that are written make it. */
async function newFolderIn(folder: vscode.Uri): Promise<vscode.Uri> {
  for (let number = 1; ; number++) {
    const made = vscode.Uri.joinPath(folder, number === 1 ? 'copies-to-share' : `copies-to-share-${number}`);
    if (!(await exists(made))) return made;
  }
}
