import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  DUMP_ENDINGS,
  kindOf,
  type Refusal,
  VERIFY_READ_BACK,
  type VerifyReadBackParams,
  type VerifyReadBackResult,
} from '../../shared-core/src/index.js';
import { activeDump, isRefusal } from './activeDump.js';
import { listFiles } from './files.js';
import type { ShowPage } from './pages.js';

/** *Verify Read-back…*: whether what was read from the module is what the dump in the editor planned, as a page. */
export function registerReadBack(client: BaseLanguageClient, show: ShowPage): vscode.Disposable {
  return vscode.commands.registerCommand('countersum.verifyReadBack', async () => {
    const document = activeDump();
    if (!document) return;
    const read = await chooseReading(document.uri);
    if (read === undefined) return;
    const params: VerifyReadBackParams = { uri: document.uri.toString(), read: read.toString() };
    const result = await client.sendRequest<VerifyReadBackResult | Refusal>(VERIFY_READ_BACK, params);
    if (isRefusal(result)) return;
    await show(result.title, result.page);
    void tell(document, read, result);
  });
}

/** The other dumps of the workspace, or any file. */
export async function chooseReading(planned: vscode.Uri): Promise<vscode.Uri | undefined> {
  const dumps = (await listFiles()).filter((uri) => kindOf(uri) === 'dumps').map((uri) => vscode.Uri.parse(uri));
  const items: (vscode.QuickPickItem & { uri?: vscode.Uri })[] = dumps
    .filter((uri) => uri.toString() !== planned.toString())
    .map((uri) => ({ label: vscode.workspace.asRelativePath(uri), uri }));
  const browse: (typeof items)[number] = { label: vscode.l10n.t('Another file…'), alwaysShow: true };
  const chosen = await vscode.window.showQuickPick([...items, browse], {
    title: vscode.l10n.t('Which dump was read back from the module?'),
  });
  if (chosen !== browse) return chosen?.uri;
  const filters = { [vscode.l10n.t('Configuration dumps and memory images')]: [...DUMP_ENDINGS] };
  return (await vscode.window.showOpenDialog({ canSelectMany: false, filters }))?.[0];
}

/** The message stays until it is read; the command is done before. */
async function tell(
  planned: vscode.TextDocument,
  read: vscode.Uri,
  { matches, verdict }: VerifyReadBackResult,
): Promise<void> {
  if (matches) {
    void vscode.window.showInformationMessage(verdict);
    return;
  }
  const compare = vscode.l10n.t('Show Side by Side');
  if ((await vscode.window.showWarningMessage(verdict, compare)) !== compare) return;
  await vscode.window.showTextDocument(planned);
  await vscode.commands.executeCommand('countersum.compareWith', read);
}
