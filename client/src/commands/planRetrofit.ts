import * as vscode from 'vscode';
import type { TextDocumentEdit, WorkspaceEdit } from 'vscode-languageclient';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import {
  PLAN_RETROFIT,
  type PlanRetrofitParams,
  type PlanRetrofitResult,
  RETROFIT_VEHICLES,
  type RetrofitVehicle,
} from '../../../shared-core/src/protocol/retrofit.js';
import { isRefusal } from '../ask.js';
import type { Command } from '../command.js';
import { fileItem } from '../fileItem.js';
import { listFiles, missingOf } from '../files.js';
import { backupOf } from '../newBackup.js';
import { nameOf } from '../places.js';
import { fileUri, isRaw } from '../rawUri.js';
import type { Services } from '../services.js';
import { chooseOne, confirm, confirmRisk, inform, tellDone, warn, withFiles } from '../ui.js';
import { intoTexts } from '../writeEdit.js';
import { setIn, writeRetrofit } from '../writeRetrofit.js';
import { RETROFIT_AT_HAND } from './conditions.js';

/** *Plan Retrofit…*: what a retrofit changes in all modules of a vehicle, shown first, then made as one edit. */
export const planRetrofit: Command = {
  id: 'planRetrofit',
  title: 'Plan Retrofit…',
  does: 'shows what a retrofit changes in all modules of a vehicle, or what is in the way; then makes it in one step',
  icon: 'checklist',
  when: RETROFIT_AT_HAND,
  menus: [
    {
      menu: 'editor/title',
      group: 'navigation@1',
      when: 'resourceFilename =~ /\\.retrofit\\.json$/ && !isInDiffEditor',
    },
  ],
  run: async (services, given?: vscode.Uri, dump?: unknown) => {
    const planned = await shownPlan(services, given, dump);
    if (planned === undefined) return;
    const question = withFiles(
      vscode.l10n.t('All modules can be set as the page shows, in one step.'),
      services.write === intoTexts ? saveAfterwards() : '',
    );
    if ((await inform(question, 'setAsPlanned')) !== 'setAsPlanned') return;
    if (planned.plan.cautions.length === 0 || (await acceptsPlan(planned.plan))) await carryOut(services, planned);
  },
};

/** Plans anew and carries the plan out after one question: for whoever has closed the notice that offers it. */
export async function setAsPlanned(services: Services, retrofit: vscode.Uri, dump: string): Promise<void> {
  const planned = await shownPlan(services, retrofit, dump);
  if (planned === undefined) return;
  if (await acceptsPlan(planned.plan)) await carryOut(services, planned);
}

/** Asks once for all modules: each option from what to what, then what to be careful about. */
function acceptsPlan({ inFull, cautions }: PlanRetrofitResult): Promise<boolean> {
  const question = vscode.l10n.t('Set all modules as the plan shows?');
  const ask = cautions.length === 0 ? confirm : confirmRisk;
  return ask(question, 'setAsPlanned', [...inFull, ...cautions]);
}

/** A plan that can be carried out, and the dumps as it was made of them. */
interface Planned {
  readonly plan: PlanRetrofitResult;
  readonly before: readonly Stand[];
}

/** Makes a plan and shows its page; undefined where there is nothing to set, which the person is told. */
async function shownPlan(
  services: Services,
  given: vscode.Uri | undefined,
  dump: unknown,
): Promise<Planned | undefined> {
  const { ask, showPage } = services;
  const retrofit = given ?? (await chooseRetrofit(services));
  if (retrofit === undefined) return undefined;
  const uri = retrofit.toString();
  const vehicles = await ask<readonly RetrofitVehicle[]>(RETROFIT_VEHICLES, { uri });
  const own = vehicles?.find(({ dumps }) => dumps.some((one) => one === dump));
  const vehicle = own ?? (vehicles && (await chooseVehicle(vehicles)));
  if (vehicle === undefined) return undefined;
  const before = await Promise.all(
    vehicle.dumps.map((one) => standOf(services.client.protocol2CodeConverter.asUri(one))),
  );
  const params: PlanRetrofitParams = { uri, vehicle: vehicle.id };
  const plan = await ask<PlanRetrofitResult>(PLAN_RETROFIT, params);
  if (plan === undefined) return undefined;
  await showPage(vscode.l10n.t('Plan: {0}', plan.title), plan.page);
  if (!plan.possible) {
    const why = vscode.l10n.t(
      'The retrofit cannot be done yet; the page says what is in the way. Nothing was changed.',
    );
    void warnOfPlan(services, why, plan.lackBackup);
  }
  return plan.possible && plan.edit !== null ? { plan, before } : undefined;
}

/** Says that a plan is in want of something, with a button where that is a backup. */
async function warnOfPlan(services: Services, why: string, lackBackup: readonly string[]): Promise<void> {
  if ((await warn(why, ...(lackBackup.length > 0 ? (['makeBackup'] as const) : []))) !== 'makeBackup') return;
  const dumps = lackBackup.map((dump) => services.client.protocol2CodeConverter.asUri(dump));
  await backupOf(services, ...(await Promise.all(dumps.map((dump) => vscode.workspace.openTextDocument(dump)))));
}

/** The retrofit in the active editor, else one of the workspace. */
async function chooseRetrofit(services: Services): Promise<vscode.Uri | undefined> {
  const active = vscode.window.activeTextEditor?.document.uri;
  if (active?.path.endsWith('.retrofit.json')) return active;
  const list = await listFiles(services.client);
  const found = list.retrofits.map(({ uri, title }) => fileItem(vscode.Uri.parse(uri), { module: title }));
  if (found.length === 0) {
    if (list.unlisted.length > 0) {
      void warn(list.unlisted.join(' '));
      return undefined;
    }
    const said = vscode.l10n.t(
      'There is no retrofit in this folder yet. One can be written of the options that are set in the dumps.',
    );
    return (await inform(said, 'writeRetrofit')) === 'writeRetrofit' ? writeRetrofit(services) : undefined;
  }
  const isPlanned = await plannedBy(
    services,
    found.map(({ uri }) => uri),
  );
  const more = await another(services, isPlanned);
  if (found.length === 1 && more.length === 0 && list.unlisted.length === 0) return found[0]?.uri;
  const asking = { title: vscode.l10n.t('Which retrofit?'), ...missingOf(list) };
  const chosen = await chooseOne<vscode.QuickPickItem & { readonly uri?: vscode.Uri }>([...more, ...found], asking);
  return chosen && (chosen.uri ?? writeRetrofit(services, isPlanned));
}

/** Whether retrofits change a dump, which those do not that cannot be read. */
async function plannedBy(
  { client }: Services,
  retrofits: readonly vscode.Uri[],
): Promise<(dump: vscode.Uri) => boolean> {
  const planned = new Set<string>();
  for (const retrofit of retrofits) {
    const params = { uri: retrofit.toString() };
    const vehicles = await client.sendRequest<readonly RetrofitVehicle[] | Refusal>(RETROFIT_VEHICLES, params);
    for (const one of isRefusal(vehicles) ? [] : vehicles.flatMap(({ changed }) => changed))
      planned.add(client.protocol2CodeConverter.asUri(one).toString());
  }
  return (dump) => planned.has(dump.toString());
}

/** Offers to write one more retrofit, where options are set in the current dump and none changes it. */
async function another(
  services: Services,
  isPlanned: (dump: vscode.Uri) => boolean,
): Promise<readonly vscode.QuickPickItem[]> {
  const dump = services.current.document()?.uri;
  if (dump === undefined || isPlanned(dump)) return [];
  const { titles = [] } = (await setIn(services, dump)) ?? {};
  if (titles.length === 0) return [];
  const detail = vscode.l10n.t('Of what is set in {0}, which no retrofit here changes', nameOf(dump));
  return [{ label: vscode.l10n.t('Write Another…'), description: titles.join(', '), detail }];
}

async function chooseVehicle(vehicles: readonly RetrofitVehicle[]): Promise<RetrofitVehicle | undefined> {
  const [only] = vehicles;
  if (only === undefined) {
    void warn(
      vscode.l10n.t(
        'No dump in this folder belongs to the profiles of this retrofit. Read the modules and save their dumps here first.',
      ),
    );
  }
  if (vehicles.length <= 1) return only;
  const items = vehicles.map((vehicle) => ({
    label: vehicle.title,
    description: vehicle.vin === vehicle.title ? '' : (vehicle.vin ?? ''),
    detail: vehicle.dumps.map((dump) => vscode.workspace.asRelativePath(vscode.Uri.parse(dump))).join(', '),
    vehicle,
  }));
  return (await chooseOne(items, { title: vscode.l10n.t('Which vehicle?') }))?.vehicle;
}

/** A dump as it was planned with, in the editor and on the disk. */
interface Stand {
  readonly uri: vscode.Uri;
  readonly version: number;
  readonly text: string;
  readonly kept: string | undefined;
}

/** Opens a dump too: the plan is then made of the version that is looked at here. */
async function standOf(uri: vscode.Uri): Promise<Stand> {
  const kept = await keptBytes(fileUri(uri));
  const opened = await vscode.workspace.openTextDocument(uri);
  // The server must have it by the time that it plans.
  const document = isRaw(uri) ? await vscode.languages.setTextDocumentLanguage(opened, 'cfgdump') : opened;
  return { uri, version: document.version, text: document.getText(), kept };
}

/** Each byte as a character, so that no two states are the same. */
async function keptBytes(file: vscode.Uri): Promise<string | undefined> {
  try {
    return new TextDecoder('windows-1252').decode(await vscode.workspace.fs.readFile(file));
  } catch {
    return undefined;
  }
}

function saveAfterwards(): string {
  return vscode.l10n.t('Save the dumps afterwards.');
}

/** All modules or none: part of a plan would leave sums wrong and modules at odds, so it is not offered change by change. */
async function carryOut({ client, write }: Services, { plan: { edit: planned }, before }: Planned): Promise<void> {
  const edit = planned as WorkspaceEdit;
  const converted = await client.protocol2CodeConverter.asWorkspaceEdit(edit);
  const changed = (edit.documentChanges as readonly TextDocumentEdit[]).map(({ textDocument }) => textDocument);
  const now = await Promise.all(before.map(({ uri }) => standOf(uri)));
  const other = before.find(({ uri, version, text, kept }, index) => {
    const planned = changed.find((one) => vscode.Uri.parse(one.uri).toString() === fileUri(uri).toString());
    const isOld = typeof planned?.version === 'number' && planned.version !== version;
    return isOld || now[index]?.text !== text || now[index]?.kept !== kept;
  });
  if (other !== undefined) {
    const name = vscode.workspace.asRelativePath(fileUri(other.uri));
    void warn(
      vscode.l10n.t('{0} has changed since it was planned with. Nothing was changed in any module; plan again.', name),
    );
    return;
  }
  const files = await write(converted);
  if (files === undefined)
    void warn(vscode.l10n.t('The editor did not take the changes. Nothing was changed in any module; plan again.'));
  else tellDone(vscode.l10n.t('All modules are set.'), files || saveAfterwards());
}
