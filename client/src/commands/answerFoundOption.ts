import * as vscode from 'vscode';
import {
  type FindOptionParams,
  type FindOptionResult,
  PLAN_TRIALS,
  type PlaceOfItsOwn,
  type PlanTrialsResult,
} from '../../../shared-core/src/protocol/learning.js';
import type { Button } from '../buttons.js';
import { backupOf } from '../newBackup.js';
import { stemOf } from '../newFile.js';
import { type AddedPlace, inProfile, rowOf } from '../pages/foundOptionPage.js';
import { offerToKeep } from '../pages/keepPage.js';
import { searching } from '../searching.js';
import type { Services } from '../services.js';
import { inform } from '../ui.js';
import { addFoundOption } from './addFoundOption.js';

/** What the buttons of the page of a found option do. The page is told which places are in the profile then. */
export function answerFoundOption(
  services: Services,
  params: FindOptionParams,
  found: FindOptionResult,
  tell: (added: AddedPlace) => unknown,
): (message: unknown) => void {
  const dump = vscode.Uri.parse(params.uri);
  let result = found;
  let trials: Promise<PlanTrialsResult | undefined> | undefined;
  const add = async (place: PlaceOfItsOwn, to: Omit<AddedPlace, 'says'>): Promise<void> => {
    const added = await addFoundOption(services, dump, result, place);
    if (added === undefined) return;
    // What a first place made of a draft is the profile of the next one.
    result = { ...result, profile: { uri: added.profile.toString() } };
    tell({ ...to, says: inProfile(added.title) });
  };
  /** What is planned already is shown again, and nothing more is asked about it. */
  const plan = async (): Promise<void> => {
    const isNew = trials === undefined;
    trials ??= searching(vscode.l10n.t('Planning trials'), (token) =>
      services.ask<PlanTrialsResult>(PLAN_TRIALS, params, token),
    );
    const planned = await trials;
    if (planned === undefined) {
      trials = undefined;
      return;
    }
    await services.showPage(planned.title, planned.page);
    if (isNew) await keepTrials(services, dump, planned);
  };
  return (message) => {
    const { add: row, also, digit, trials: wanted } = message as Pressed;
    if (wanted === true) void plan();
    const candidate = result.candidates[Number(row)];
    const place = also === undefined ? candidate : candidate?.sameAs[Number(also)];
    if (place !== undefined)
      void add(place, { cell: also === undefined ? [Number(row)] : [Number(row), Number(also)] });
    const part = result.candidates[Number(digit)];
    if (part?.digit) void add({ ...part, ...part.digit }, { cell: [Number(digit)], row: rowOf(part.digit) });
  };
}

/** What a page says of the button that was pressed. */
interface Pressed {
  readonly add?: unknown;
  readonly also?: unknown;
  readonly digit?: unknown;
  readonly trials?: unknown;
}

async function keepTrials(
  services: Services,
  dump: vscode.Uri,
  { title, page, lacksBackup }: PlanTrialsResult,
): Promise<void> {
  await offerToKeep(dump, { title, page, stem: stemOf(dump), kind: 'trials' }, async (...answers) => {
    const buttons: readonly Button[] = lacksBackup ? ['makeBackup', ...answers] : answers;
    const chosen = await inform(vscode.l10n.t('The trials are planned.'), ...buttons);
    if (chosen !== 'makeBackup') return chosen;
    await backupOf(services, await vscode.workspace.openTextDocument(dump));
    return undefined;
  });
}
