import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  JOB_CARD,
  type JobCardParams,
  type JobCardResult,
  type Refusal,
  type RetrofitChoice,
} from '../../shared-core/src/index.js';
import { activeDump, isRefusal } from './activeDump.js';
import { firstFree } from './backup.js';
import type { ShowPage } from './pages.js';
import { printed } from './printed.js';

/** *Make a Job Card*: shown as a page first; kept in the vehicle folder, as text or for printing, where the person wants it. */
export function registerJobCard(client: BaseLanguageClient, show: ShowPage): vscode.Disposable {
  return vscode.commands.registerCommand('countersum.jobCard', async () => {
    const document = activeDump();
    if (!document) return;
    const card = await ask(client, document.uri.toString());
    if (card === undefined) return;
    await show(card.title, card.page);
    void offer(document.uri, card);
  });
}

async function ask(client: BaseLanguageClient, uri: string): Promise<JobCardResult | undefined> {
  const send = (params: JobCardParams) =>
    client.sendRequest<JobCardResult | RetrofitChoice | Refusal>(JOB_CARD, params);
  const answer = await send({ uri });
  if (isRefusal(answer)) return undefined;
  if (!('retrofits' in answer)) return answer;
  const items = [
    ...answer.retrofits.map((one) => ({ label: one.title, description: nameOf(one.uri), retrofit: one.uri })),
    { label: vscode.l10n.t('No retrofit'), description: '', retrofit: null },
  ];
  const chosen = await vscode.window.showQuickPick(items, { title: vscode.l10n.t('Which retrofit is this job?') });
  if (chosen === undefined) return undefined;
  const card = await send({ uri, retrofit: chosen.retrofit });
  return isRefusal(card) || 'retrofits' in card ? undefined : card;
}

/** The message stays until it is answered; the command is done before. */
async function offer(dump: vscode.Uri, { open, page, fileName, title }: JobCardResult): Promise<void> {
  const keep = vscode.l10n.t('Keep in the Vehicle Folder');
  const print = vscode.l10n.t('Keep for Printing');
  const [first] = open;
  const chosen = await (first === undefined
    ? vscode.window.showInformationMessage(vscode.l10n.t('The job card is made.'), keep, print)
    : vscode.window.showWarningMessage(
        vscode.l10n.t('Do not write these dumps yet: {0} The card lists all that is open.', first),
        keep,
        print,
      ));
  if (chosen === keep) {
    const target = await write(dump, fileName, page);
    if (target) await vscode.commands.executeCommand('markdown.showPreview', target);
  } else if (chosen === print) {
    const target = await write(dump, fileName.replace(/\.md$/, '.html'), await printed(title, page));
    if (target) await openToPrint(target);
  }
}

/** Writes beside the dump, never over another file. */
async function write(dump: vscode.Uri, name: string, text: string): Promise<vscode.Uri | undefined> {
  const [, stem = name, ending = ''] = /^(.*)(\.job-card\.\w+)$/.exec(name) ?? [];
  const names = Array.from({ length: 99 }, (_, i) => `${stem}${i === 0 ? '' : `.${i + 1}`}${ending}`);
  const target = await firstFree(dump, names);
  if (target === undefined) {
    void vscode.window.showWarningMessage(
      vscode.l10n.t('All names for a job card are taken here. Move old ones away.'),
    );
    return undefined;
  }
  await vscode.workspace.fs.writeFile(target, new TextEncoder().encode(text));
  return target;
}

/** A browser prints; where none can be reached from here, the person opens the file in one. */
async function openToPrint(target: vscode.Uri): Promise<void> {
  const isHere = target.scheme === 'file' && vscode.env.remoteName === undefined;
  if (isHere && (await vscode.env.openExternal(target))) return;
  void vscode.window.showInformationMessage(
    vscode.l10n.t('{0} is for printing: open it in a browser. It fits two A4 pages.', nameOf(target.path)),
  );
}

function nameOf(path: string): string {
  return decodeURIComponent(path.split('/').at(-1) ?? '');
}
