import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { CONVERT, type ConvertParams, type ConvertResult, type Refusal } from '../../shared-core/src/index.js';
import { activeDump, isRefusal } from './activeDump.js';
import { firstFree } from './backup.js';
import type { ShowPage } from './pages.js';

interface Form {
  readonly to: ConvertParams['to'];
  readonly language: string;
  readonly ending: string;
  readonly label: string;
}

/** Names that are tried before a text is opened without one. */
const MOST_NAMES = 99;

/** *Convert to Another Notation…*: the same bytes as a new text beside the dump, which nothing saves but its user. */
export function registerConvert(client: BaseLanguageClient, showPage: ShowPage): vscode.Disposable {
  return vscode.commands.registerCommand('countersum.convert', async () => {
    const document = activeDump();
    if (!document) return;
    const form = await vscode.window.showQuickPick(
      forms().filter(({ language }) => language !== document.languageId),
      { title: vscode.l10n.t('Which notation is it to be written in?') },
    );
    if (!form) return;
    const params: ConvertParams = { uri: document.uri.toString(), to: form.to };
    const result = await client.sendRequest<ConvertResult | Refusal>(CONVERT, params);
    if (isRefusal(result)) return;
    await vscode.window.showTextDocument(await open(document.uri, form, result.text), {
      preview: false,
      selection: new vscode.Range(0, 0, 0, 0),
    });
    if (result.lost.length > 0) void tellLost(result.lost, showPage);
  });
}

function forms(): readonly Form[] {
  return [
    { to: 'dump-text', language: 'cfgdump', ending: '.cfgdump', label: vscode.l10n.t('Dump text (*.cfgdump)') },
    { to: 'intel-hex', language: 'intel-hex', ending: '.hex', label: vscode.l10n.t('Intel HEX (*.hex)') },
    { to: 's-record', language: 's-record', ending: '.s19', label: vscode.l10n.t('S-records (*.s19)') },
  ];
}

/** An unsaved text that has, where the dump lies on a disk, a name that no file beside it has. */
async function open(beside: vscode.Uri, { language, ending }: Form, text: string): Promise<vscode.TextDocument> {
  const target = await freeName(beside, ending);
  if (target === undefined) return vscode.workspace.openTextDocument({ language, content: text });
  const document = await vscode.workspace.openTextDocument(target.with({ scheme: 'untitled' }));
  const edit = new vscode.WorkspaceEdit();
  edit.replace(document.uri, new vscode.Range(0, 0, document.lineCount, 0), text);
  await vscode.workspace.applyEdit(edit);
  return vscode.languages.setTextDocumentLanguage(document, language);
}

async function freeName(beside: vscode.Uri, ending: string): Promise<vscode.Uri | undefined> {
  if (beside.scheme !== 'file' && beside.scheme !== 'vscode-remote') return undefined;
  const stem = (beside.path.split('/').at(-1) ?? '').replace(/\.[^.]*$/, '');
  const names = Array.from({ length: MOST_NAMES }, (_, i) => `${stem}${i === 0 ? '' : `-${i + 1}`}${ending}`);
  const open = new Set(vscode.workspace.textDocuments.map(({ uri }) => uri.path));
  return firstFree(
    beside,
    names.filter((name) => !open.has(vscode.Uri.joinPath(beside, '..', name).path)),
  );
}

async function tellLost(lost: readonly string[], showPage: ShowPage): Promise<void> {
  const [first = ''] = lost;
  const all = vscode.l10n.t('Show All');
  const message =
    lost.length === 1
      ? vscode.l10n.t('Not in the converted text: {0}', first)
      : vscode.l10n.t('Not in the converted text: {0} and {1} more', first, lost.length - 1);
  if ((await vscode.window.showWarningMessage(message, ...(lost.length === 1 ? [] : [all]))) !== all) return;
  const name = vscode.l10n.t('Not in the converted text');
  await showPage(name, `# ${name}\n\n${lost.map((line) => `- ${line}`).join('\n')}\n`);
}
