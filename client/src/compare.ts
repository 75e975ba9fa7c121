import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  COMPARE,
  type CompareParams,
  type CompareResult,
  DUMP_ENDINGS,
  type Refusal,
} from '../../shared-core/src/index.js';
import { activeDump, isRefusal } from './activeDump.js';
import type { Changes } from './changesView.js';

/** Of the addresses of texts that are made for a comparison. */
export const COMPARE_SCHEME = 'countersum';

/**
 * *Compare with the Backup*: the editor's own side-by-side view. Its left side is the backup in the spelling of the
 * dump, so that only bytes differ; what changed is said in words beside it.
 */
export function registerCompare(
  client: BaseLanguageClient,
  { compareWith }: Pick<Changes, 'compareWith'>,
): vscode.Disposable {
  const sides = new Map<string, string>();
  const changed = new vscode.EventEmitter<vscode.Uri>();

  const run = async (other?: vscode.Uri): Promise<void> => {
    const document = activeDump();
    if (!document) return;
    const params: CompareParams = { uri: document.uri.toString(), ...(other && { other: other.toString() }) };
    const result = await client.sendRequest<CompareResult | Refusal>(COMPARE, params);
    if (isRefusal(result)) return;
    const name = vscode.Uri.parse(result.otherUri).path.split('/').at(-1) ?? '';
    const left = vscode.Uri.from({ scheme: COMPARE_SCHEME, path: `/${name}`, query: document.uri.toString() });
    sides.set(left.toString(), result.text);
    changed.fire(left);
    const title = vscode.l10n.t('{0} ↔ {1}', name, document.uri.path.split('/').at(-1) ?? '');
    await vscode.commands.executeCommand('vscode.diff', left, document.uri, title);
    compareWith(other);
    // The message stays until it is read; the command is done before.
    void showSummary(result.summary);
  };

  return vscode.Disposable.from(
    changed,
    vscode.workspace.registerTextDocumentContentProvider(COMPARE_SCHEME, {
      onDidChange: changed.event,
      provideTextDocumentContent: (uri) => sides.get(uri.toString()) ?? '',
    }),
    vscode.workspace.onDidCloseTextDocument(({ uri }) => sides.delete(uri.toString())),
    vscode.commands.registerCommand('countersum.compareWithBackup', () => run()),
    vscode.commands.registerCommand('countersum.compareWith', async (given?: vscode.Uri) => {
      if (given) return run(given);
      const [other] =
        (await vscode.window.showOpenDialog({
          canSelectMany: false,
          filters: {
            [vscode.l10n.t('Configuration dumps and memory images')]: [...DUMP_ENDINGS],
          },
        })) ?? [];
      if (other) await run(other);
    }),
  );
}

/** The first lines as a message, the whole on request. */
async function showSummary(summary: readonly string[]): Promise<void> {
  const all = vscode.l10n.t('Show All');
  const short = summary.length <= 3 ? summary.join(' · ') : [...summary.slice(0, 2), summary.at(-1)].join(' · ');
  const chosen = await vscode.window.showInformationMessage(short, ...(summary.length <= 3 ? [] : [all]));
  if (chosen !== all) return;
  const content = `# ${vscode.l10n.t('What changed')}\n\n${summary.map((line) => `- ${line}`).join('\n')}\n`;
  const document = await vscode.workspace.openTextDocument({ language: 'markdown', content });
  await vscode.window.showTextDocument(document, { viewColumn: vscode.ViewColumn.Beside, preview: true });
}
