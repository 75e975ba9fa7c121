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
import { offerToKeep } from './keepPage.js';
import type { ShowPage } from './pages.js';

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
function offer(dump: vscode.Uri, { open, page, fileName, title }: JobCardResult): Promise<void> {
  const stem = fileName.replace(/\.job-card\.md$/, '');
  const [first] = open;
  return offerToKeep(dump, { title, page, stem, kind: 'job-card' }, (...answers) =>
    first === undefined
      ? vscode.window.showInformationMessage(vscode.l10n.t('The job card is made.'), ...answers)
      : vscode.window.showWarningMessage(
          vscode.l10n.t('Do not write these dumps yet: {0} The card lists all that is open.', first),
          ...answers,
        ),
  );
}

function nameOf(path: string): string {
  return decodeURIComponent(path.split('/').at(-1) ?? '');
}
