import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { fileItem } from '../fileItem.js';
import { listFiles, missingOf } from '../files.js';
import { DUMP_ENDINGS } from '../forms.js';
import { fileUri } from '../rawUri.js';
import { chooseOne } from '../ui.js';

/** The dump that was read back: one of the other dumps of the workspace, or any file. */
export async function chooseReading(client: BaseLanguageClient, planned: vscode.Uri): Promise<vscode.Uri | undefined> {
  const { items, missing } = await otherDumps(client, planned);
  const browse: vscode.QuickPickItem & { readonly uri?: vscode.Uri } = {
    label: vscode.l10n.t('Another file…'),
    alwaysShow: true,
  };
  const title = vscode.l10n.t('Which dump was read back from the module?');
  const chosen = await chooseOne<typeof browse>([...items, browse], { title, ...missing });
  return chosen === browse ? browseForDump() : chosen?.uri;
}

/** The other dumps of the workspace, to choose from: those that most likely go with a dump first. */
export async function otherDumps(
  client: BaseLanguageClient,
  dump: vscode.Uri,
): Promise<{ readonly items: readonly ReturnType<typeof fileItem>[]; readonly missing: ReturnType<typeof missingOf> }> {
  const own = fileUri(dump);
  const list = await listFiles(client);
  const all = list.dumps.map((one) => ({ ...one, uri: vscode.Uri.parse(one.uri) }));
  const known = all.find(({ uri }) => uri.toString() === own.toString());
  const shared = ({ uri, module, vehicle }: (typeof all)[number]) =>
    Number(module === known?.module) * 4 +
    Number(vehicle === known?.vehicle) * 2 +
    Number(vscode.Uri.joinPath(uri, '..').path === vscode.Uri.joinPath(own, '..').path);
  const items = all
    .filter((one) => one !== known)
    .sort((a, b) => shared(b) - shared(a))
    .map((one) => fileItem(one.uri, one));
  return { items, missing: missingOf(list) };
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
