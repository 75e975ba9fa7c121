import * as vscode from 'vscode';
import type { BaseLanguageClient, WorkspaceEdit } from 'vscode-languageclient';
import {
  PLAN_RETROFIT,
  type PlanRetrofitParams,
  type PlanRetrofitResult,
  RETROFIT_VEHICLES,
  type Refusal,
  type RetrofitVehicle,
} from '../../shared-core/src/index.js';
import { isRefusal } from './activeDump.js';
import type { ShowPage } from './pages.js';

/** *Plan Retrofit…*: what a retrofit changes in all modules of a vehicle, shown first, then made as one edit. */
export function registerPlanRetrofit(client: BaseLanguageClient, show: ShowPage): vscode.Disposable {
  return vscode.commands.registerCommand('countersum.planRetrofit', async (given?: vscode.Uri) => {
    const retrofit = given ?? (await chooseRetrofit());
    if (retrofit === undefined) return;
    const uri = retrofit.toString();
    const vehicles = await client.sendRequest<readonly RetrofitVehicle[] | Refusal>(RETROFIT_VEHICLES, { uri });
    if (isRefusal(vehicles)) return;
    const vehicle = await chooseVehicle(vehicles);
    if (vehicle === undefined) return;
    // Open documents have versions, so that what changes meanwhile is noticed, on the disk as well.
    for (const dump of vehicle.dumps) await vscode.workspace.openTextDocument(vscode.Uri.parse(dump));
    const params: PlanRetrofitParams = { uri, vehicle: vehicle.id };
    const plan = await client.sendRequest<PlanRetrofitResult | Refusal>(PLAN_RETROFIT, params);
    if (isRefusal(plan)) return;
    await show(vscode.l10n.t('Plan: {0}', plan.title), plan.page);
    if (plan.refused) {
      void vscode.window.showWarningMessage(
        vscode.l10n.t('The retrofit cannot be done yet; the page says what is in the way. Nothing was changed.'),
      );
    } else if (plan.edit !== null) await offer(client, plan.edit as WorkspaceEdit);
  });
}

/** The retrofit in the active editor, else one of the workspace. */
async function chooseRetrofit(): Promise<vscode.Uri | undefined> {
  const active = vscode.window.activeTextEditor?.document.uri;
  if (active?.path.endsWith('.retrofit.json')) return active;
  const found = await vscode.workspace.findFiles('**/*.retrofit.json', '**/node_modules/**');
  if (found.length === 0) {
    void vscode.window.showInformationMessage(
      vscode.l10n.t('There is no retrofit in this folder. Write one in a file that ends in ".retrofit.json".'),
    );
    return undefined;
  }
  if (found.length === 1) return found[0];
  const items = found.map((uri) => ({ label: vscode.workspace.asRelativePath(uri), uri }));
  return (await vscode.window.showQuickPick(items, { title: vscode.l10n.t('Which retrofit?') }))?.uri;
}

async function chooseVehicle(vehicles: readonly RetrofitVehicle[]): Promise<RetrofitVehicle | undefined> {
  const [only] = vehicles;
  if (only === undefined) {
    void vscode.window.showWarningMessage(
      vscode.l10n.t(
        'No dump in this folder belongs to the profiles of this retrofit. Read the modules and save their dumps here first.',
      ),
    );
  }
  if (vehicles.length <= 1) return only;
  const items = vehicles.map((vehicle) => ({
    label: vehicle.title,
    description: vehicle.title === vehicle.id ? '' : vehicle.id,
    detail: vehicle.dumps.map((dump) => vscode.workspace.asRelativePath(vscode.Uri.parse(dump))).join(', '),
    vehicle,
  }));
  return (await vscode.window.showQuickPick(items, { title: vscode.l10n.t('Which vehicle?') }))?.vehicle;
}

/** The editor's own preview lists the changes by module; it refuses where a file has changed since. */
async function offer(client: BaseLanguageClient, edit: WorkspaceEdit): Promise<void> {
  const preview = vscode.l10n.t('Look at the Changes');
  const chosen = await vscode.window.showInformationMessage(
    vscode.l10n.t('All modules can be set as planned, in one step.'),
    preview,
  );
  if (chosen !== preview) return;
  const converted = await client.protocol2CodeConverter.asWorkspaceEdit(edit);
  const made = await vscode.workspace.applyEdit(converted, { isRefactoring: true });
  if (!made) {
    void vscode.window.showWarningMessage(
      vscode.l10n.t('Nothing was changed. Where a dump has changed meanwhile, plan again.'),
    );
  }
}
