import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { fileItem } from '../fileItem.js';
import { listFiles } from '../files.js';
import { DUMP_ENDINGS } from '../forms.js';
import { fileUri } from '../rawUri.js';
import { chooseOne } from '../ui.js';

/** The dump that was read back: one of the other dumps of the workspace, or any file. */
export async function chooseReading(client: BaseLanguageClient, planned: vscode.Uri): Promise<vscode.Uri | undefined> {
  const items: readonly (vscode.QuickPickItem & { readonly uri?: vscode.Uri })[] = await otherDumps(client, planned);
  const browse: (typeof items)[number] = { label: vscode.l10n.t('Another file…'), alwaysShow: true };
  const title = vscode.l10n.t('Which dump was read back from the module?');
  const chosen = await chooseOne([...items, browse], { title });
  return chosen === browse ? browseForDump() : chosen?.uri;
}

/** The other dumps of the workspace, to choose from. */
export async function otherDumps(
  client: BaseLanguageClient,
  dump: vscode.Uri,
): Promise<readonly ReturnType<typeof fileItem>[]> {
  return (await listFiles(client)).dumps
    .map((one) => fileItem(vscode.Uri.parse(one.uri), one))
    .filter(({ uri }) => uri.toString() !== fileUri(dump).toString());
}

/** Any dump, by the editor's own dialog for files. */
export async function browseForDump(): Promise<vscode.Uri | undefined> {
  const filters = {
    [vscode.l10n.t('Configuration dumps and memory images')]: [...DUMP_ENDINGS],
    [vscode.l10n.t('All files')]: ['*'],
  };
  return (
    await vscode.window.showOpenDialog({
      canSelectMany: false,
      filters,
      title: vscode.l10n.t('Which file is the dump?'),
    })
  )?.[0];
}
