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

/** The other dumps of the workspace, to choose from: those that most likely go with a dump first. */
export async function otherDumps(
  client: BaseLanguageClient,
  dump: vscode.Uri,
): Promise<readonly ReturnType<typeof fileItem>[]> {
  const own = fileUri(dump);
  const all = (await listFiles(client)).dumps.map((one) => ({ ...one, uri: vscode.Uri.parse(one.uri) }));
  const known = all.find(({ uri }) => uri.toString() === own.toString());
  const shared = ({ uri, module, vehicle }: (typeof all)[number]) =>
    Number(module === known?.module) * 4 +
    Number(vehicle === known?.vehicle) * 2 +
    Number(vscode.Uri.joinPath(uri, '..').path === vscode.Uri.joinPath(own, '..').path);
  return all
    .filter((one) => one !== known)
    .sort((a, b) => shared(b) - shared(a))
    .map((one) => fileItem(one.uri, one));
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
