import * as vscode from 'vscode';
import {
  JOB_CARD,
  type JobCardParams,
  type JobCardResult,
  type RetrofitChoice,
} from '../../../shared-core/src/protocol/retrofit.js';
import type { AskServer } from '../ask.js';
import { type Command, onDump } from '../command.js';
import { fileItem } from '../fileItem.js';
import { type KeptPage, keepBeside, offerToKeep } from '../pages/keepPage.js';
import type { Services } from '../services.js';
import { chooseOne, inform, warn } from '../ui.js';
import { unsavedTexts } from '../unsaved.js';
import { HAS_BACKUP, IN_BACKED_UP_DUMP } from './conditions.js';

/** *Make a Job Card*: shown as a page first; kept in the vehicle folder, as text or for printing, where the person wants it. */
export const jobCard: Command = {
  id: 'jobCard',
  title: 'Make a Job Card',
  does: "the whole job of a vehicle's changed modules on two pages: checks, lines to enter, sums, the way back; kept in the folder, as text or for printing",
  icon: 'note',
  when: HAS_BACKUP,
  menus: [{ menu: 'editor/context', group: '1_countersum3@2', when: IN_BACKED_UP_DUMP }],
  run: onDump(async (services, { uri }) => {
    const card = await cardOf(services.ask, uri.toString());
    if (card !== undefined) await showCard(services, uri, card);
  }),
};

/** Makes the card of a dump and keeps it; one that says "Do not write yet" is shown first. */
export async function keepCard(services: Services, uri: vscode.Uri): Promise<void> {
  const card = await cardOf(services.ask, uri.toString());
  if (card === undefined) return;
  if (card.open.length === 0) await keepBeside(uri, keptOf(card));
  else await showCard(services, uri, card);
}

async function showCard({ showPage }: Services, uri: vscode.Uri, card: JobCardResult): Promise<void> {
  await showPage(card.title, card.page);
  void offer(uri, card);
}

function keptOf({ title, page, fileName }: JobCardResult): KeptPage {
  return { title, page, stem: fileName.replace(/\.job-card\.md$/, ''), kind: 'job-card' };
}

async function cardOf(ask: AskServer, uri: string): Promise<JobCardResult | undefined> {
  const unsaved = unsavedTexts();
  const cardFor = (params: JobCardParams) => ask<JobCardResult | RetrofitChoice>(JOB_CARD, params);
  const answer = await cardFor({ uri, unsaved });
  if (answer === undefined || !('retrofits' in answer)) return answer;
  const items = [
    ...answer.retrofits.map((one) => ({
      ...fileItem(vscode.Uri.parse(one.uri), { module: one.title }),
      retrofit: one.uri,
    })),
    { label: vscode.l10n.t('No retrofit'), description: '', retrofit: null },
  ];
  const chosen = await chooseOne(items, { title: vscode.l10n.t('Which retrofit is this job?') });
  const card = chosen && (await cardFor({ uri, retrofit: chosen.retrofit, unsaved }));
  return card === undefined || 'retrofits' in card ? undefined : card;
}

/** The message stays until it is answered; the command is done before. */
function offer(dump: vscode.Uri, card: JobCardResult): Promise<void> {
  const [first] = card.open;
  return offerToKeep(dump, keptOf(card), (...answers) =>
    first === undefined
      ? inform(vscode.l10n.t('The job card is made.'), ...answers)
      : warn(vscode.l10n.t('Do not write these dumps yet: {0} The card lists all that is open.', first), ...answers),
  );
}
