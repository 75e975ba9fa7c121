import * as vscode from 'vscode';
import { literal } from '../../../shared-core/src/base/index.js';
import type { JobAction, JobModule, JobStep, JobsResult, JobVehicle } from '../../../shared-core/src/protocol/jobs.js';
import { BUTTONS } from '../buttons.js';
import { nameOf } from '../places.js';
import { treeItem } from '../ui.js';
import { inShort } from './inShort.js';

type UnreadFile = JobsResult['unread'][number];

export type JobNode =
  | { readonly kind: 'offered'; readonly uri: vscode.Uri }
  | { readonly kind: 'vehicle'; readonly vehicle: JobVehicle }
  | { readonly kind: 'module'; readonly module: JobModule }
  | { readonly kind: 'step'; readonly module: JobModule; readonly step: JobStep }
  | { readonly kind: 'action'; readonly module: JobModule; readonly step: JobStep; readonly action: JobAction }
  | { readonly kind: 'inFull'; readonly module: JobModule; readonly step: JobStep }
  | { readonly kind: 'unread'; readonly files: readonly UnreadFile[] }
  | { readonly kind: 'file'; readonly file: UnreadFile }
  | { readonly kind: 'comparedFiles'; readonly files: JobsResult['compared'] }
  | { readonly kind: 'similar'; readonly similar: JobsResult['similar'][number] }
  | { readonly kind: 'unsaved'; readonly files: JobsResult['compared'] }
  | { readonly kind: 'compared'; readonly file: JobsResult['compared'][number] };

/**
 * One vehicle needs no entry of its own: it is named above the list. A text in front that looks like a dump comes first, as
 * nothing else here is about it.
 */
export function rootsOf({ vehicles, unread, compared, similar }: JobsResult, offered?: vscode.Uri): JobNode[] {
  const [only, ...more] = vehicles;
  const jobs: readonly JobNode[] =
    only === undefined || more.length > 0
      ? vehicles.map((vehicle) => ({ kind: 'vehicle', vehicle }))
      : only.modules.map((module) => ({ kind: 'module', module }));
  return [
    ...(offered === undefined ? [] : [{ kind: 'offered', uri: offered } as const]),
    ...(unread.length === 0 ? [] : [{ kind: 'unread', files: unread } as const]),
    ...similar.map((one) => ({ kind: 'similar', similar: one }) as const),
    ...jobs,
    ...(compared.length === 0 ? [] : [{ kind: 'comparedFiles', files: compared } as const]),
  ];
}

export function childrenOf(node: JobNode): JobNode[] {
  switch (node.kind) {
    case 'vehicle':
      return node.vehicle.modules.map((module) => ({ kind: 'module', module }));
    case 'module':
      return node.module.steps.map((step) => ({ kind: 'step', module: node.module, step }));
    case 'step': {
      const { module, step } = node;
      const actions = actionsOf(step).map((action): JobNode => ({ kind: 'action', module, step, action }));
      return isCut(step) ? [...actions, { kind: 'inFull', module, step }] : actions;
    }
    case 'unread':
      return node.files.map((file) => ({ kind: 'file', file }));
    case 'comparedFiles':
      return [...unsavedIn(node.files), ...node.files.map((file) => ({ kind: 'compared', file }) as const)];
    default:
      return [];
  }
}

/** Dumps that have a button of their own for it: no step of a job tells that they are not saved. */
function unsavedIn(files: JobsResult['compared']): readonly JobNode[] {
  const unsaved = files.filter(({ isSaved }) => !isSaved);
  return unsaved.length === 0 ? [] : [{ kind: 'unsaved', files: unsaved }];
}

/** What a step offers; what can be noted can be looked at as well. */
function actionsOf({ action, more, state }: JobStep): readonly JobAction[] {
  if (action === null || state === 'later') return [];
  return action.does === 'noteSeen' ? [action, { ...action, does: 'verifyReadBack' }] : inOrder([action, ...more]);
}

/** What is loaded into the module is saved before the module is read back. */
function inOrder(actions: readonly JobAction[]): readonly JobAction[] {
  const isFirst = ({ does }: JobAction) => does === 'saveToLoad';
  return [...actions.filter(isFirst), ...actions.filter((one) => !isFirst(one))];
}

/** Whether what is said above the list of what is next is not all of it. */
function isCut({ state, says }: JobStep): boolean {
  return (state === 'next' || state === 'stuck') && inShort(says) !== says;
}

/** The entry above one; undefined at the top. */
export function parentOf(found: JobsResult, node: JobNode): JobNode | undefined {
  switch (node.kind) {
    case 'action':
    case 'inFull':
      return { kind: 'step', module: node.module, step: node.step };
    case 'step':
      return { kind: 'module', module: node.module };
    case 'module': {
      const vehicle = found.vehicles.find(({ modules }) => modules.includes(node.module));
      return vehicle === undefined || found.vehicles.length === 1 ? undefined : { kind: 'vehicle', vehicle };
    }
    case 'file':
      return { kind: 'unread', files: found.unread };
    default:
      return undefined;
  }
}

/** What is to be seen of a module: the button of its next step, or else the step; where all are done, what is left to note. */
export function nextNode(module: JobModule): JobNode | undefined {
  const step = nextOf(module) ?? toNote(module);
  if (step === undefined) return undefined;
  const node: JobNode = { kind: 'step', module, step };
  return childrenOf(node)[0] ?? node;
}

/** The step that is to be done now; undefined where all are done. */
export function nextOf({ steps }: JobModule): JobStep | undefined {
  return steps.find(({ state }) => state === 'next' || state === 'stuck');
}

/** The step at which the work can be noted in the profile once it was tried. */
export function toNote({ steps }: JobModule): JobStep | undefined {
  return steps.find(({ action }) => action?.does === 'noteSeen');
}

/** What an entry looks like, and what a screen reader says of it; `current` is the dump that is worked on. */
export function jobItem(found: JobsResult, node: JobNode, current: string | undefined): vscode.TreeItem {
  switch (node.kind) {
    case 'offered':
      return offeredItem(node.uri);
    case 'vehicle':
      return vehicleItem(node.vehicle, current);
    case 'module':
      return moduleItem(node.module, isAtHand(found, node.module, current));
    case 'step':
      return stepItem(node.module, node.step);
    case 'action':
      return actionItem(node.module, node.step, node.action);
    case 'inFull':
      return inFullItem(node.module, node.step);
    case 'unread':
      return unreadItem(node.files);
    case 'file':
      return fileItem(node.file);
    case 'comparedFiles':
      return comparedItem(node.files);
    case 'similar':
      return similarItem(node.similar);
    case 'unsaved':
      return unsavedItem(node.files);
    case 'compared':
      return comparedFileItem(node.file);
  }
}

const { None, Collapsed, Expanded } = vscode.TreeItemCollapsibleState;

/** The module that is worked on: that of a dump; where there is none, the first of the one vehicle that is not done. */
export function moduleOf(found: JobsResult, uri: string | undefined): JobModule | undefined {
  const own = moduleNamed(found, uri);
  if (own !== undefined || found.vehicles.length !== 1) return own;
  const all = found.vehicles.flatMap(({ modules }) => modules);
  return all.find((module) => nextOf(module) !== undefined) ?? all[0];
}

/** The module of which a dump is one. */
export function moduleNamed({ vehicles }: JobsResult, uri: string | undefined): JobModule | undefined {
  return vehicles.flatMap(({ modules }) => modules).find((module) => isOf(module, uri));
}

/** The module that is worked on is open, and one that has none beside it. */
function isAtHand(found: JobsResult, module: JobModule, current: string | undefined): boolean {
  const beside = found.vehicles.find(({ modules }) => modules.includes(module))?.modules ?? [];
  return beside.length === 1 || moduleOf(found, current) === module;
}

/** Whether a dump, by its address as the editor writes it, is one of a module. */
function isOf({ uris }: JobModule, dump: string | undefined): boolean {
  return uris.some((uri) => vscode.Uri.parse(uri).toString() === dump);
}

/** Whether the dumps of a vehicle name it, and not like a file of theirs: without a name, it is known by that alone. */
export function isNamed({ id, title, modules }: JobVehicle): boolean {
  return !modules.some(({ uris }) => uris.some((uri) => uri === id || nameOf(vscode.Uri.parse(uri)) === title));
}

function vehicleItem({ id, title, modules }: JobVehicle, current: string | undefined): vscode.TreeItem {
  const open = modules.filter((module) => nextOf(module) !== undefined).length;
  const description =
    open === 0 ? vscode.l10n.t('all done') : vscode.l10n.t('{0} of {1} done', modules.length - open, modules.length);
  const isCurrent = modules.some((module) => isOf(module, current));
  // The name of a file is that of the module below.
  const nameless = isNamed({ id, title, modules }) ? undefined : vscode.l10n.t('Vehicle not named yet');
  const spoken = `${nameless ?? vscode.l10n.t('Vehicle {0}', title)}: ${description}`;
  const shown = treeItem(nameless ?? title, { description, spoken }, isCurrent ? Expanded : Collapsed);
  shown.id = `vehicle ${id} ${isCurrent}`;
  return shown;
}

function moduleItem(module: JobModule, isOpen: boolean): vscode.TreeItem {
  const { title, steps, uri } = module;
  const step = nextOf(module);
  // A step behind the next one may be done and come open again, so it does not count yet.
  const done = step === undefined ? steps.length : steps.indexOf(step);
  const spoken = [
    `${title}: ${vscode.l10n.t('{0} of {1} done', done, steps.length)}`,
    ...(step === undefined ? [] : [vscode.l10n.t('next: {0}', step.title)]),
  ].join(', ');
  // Beside the name of a module there is no room for more in a narrow side bar.
  const description = `${done}/${steps.length}`;
  const shown = treeItem(title, { description, spoken, tooltip: spoken }, isOpen ? Expanded : Collapsed);
  shown.id = `module ${uri} ${isOpen}`;
  shown.iconPath = new vscode.ThemeIcon('circuit-board');
  shown.contextValue = 'module';
  return shown;
}

function stepItem({ uri, steps }: JobModule, step: JobStep): vscode.TreeItem {
  const { id, title, state, says, action } = step;
  const description = state === 'later' ? '' : says;
  const spoken = `${title}, ${stateInWords(state)}: ${says}`;
  const hasMore = (action !== null && state !== 'later') || isCut(step);
  const shownState = !hasMore ? None : isOpen(step, steps) ? Expanded : Collapsed;
  // What is above the list is short: here it is in full.
  const shown = treeItem(title, { description, tooltip: `${title}: ${says}`, spoken }, shownState);
  shown.id = `step ${uri} ${id} ${state} ${shownState}`;
  shown.iconPath = isReadWrong(step) ? WRONG() : iconOf(state);
  // The step itself may be pressed too: without that it would only fold, and hide its button.
  if (state === 'next' && action !== null)
    shown.command = { command: JOB_STEP, title: literal(ACTIONS[action.does]()), arguments: [action] };
  return shown;
}

/** What can be done is shown by itself where it is next, and where it can be done anew as the step behind it failed. */
function isOpen({ id, state, action }: JobStep, steps: readonly JobStep[]): boolean {
  if (state === 'next' || state === 'stuck' || id === 'recorded') return true;
  if (action?.does === 'confirmSums' || action?.does === 'noteSeen') return true;
  // Whoever is through may want to go back.
  if (id === 'change') return steps.every((step) => step.state === 'done');
  return id === 'readBack' && steps.some((step) => step.id === 'verified' && step.state === 'next');
}

/** Whether a reading is here that does not prove what was planned: the step is next, but nothing goes on of itself. */
function isReadWrong({ state, action }: JobStep): boolean {
  return state === 'next' && action?.does === 'verifyReadBack';
}

function stateInWords(state: JobStep['state']): string {
  switch (state) {
    case 'done':
      return vscode.l10n.t('done');
    case 'next':
      return vscode.l10n.t('next');
    case 'stuck':
      return vscode.l10n.t('cannot go on yet');
    case 'later':
      return vscode.l10n.t('not yet');
  }
}

const WRONG = () => new vscode.ThemeIcon('warning', new vscode.ThemeColor('list.warningForeground'));

function iconOf(state: JobStep['state']): vscode.ThemeIcon {
  switch (state) {
    case 'done':
      return new vscode.ThemeIcon('pass', new vscode.ThemeColor('testing.iconPassed'));
    case 'next':
      return new vscode.ThemeIcon('circle-filled');
    case 'stuck':
      return WRONG();
    case 'later':
      return new vscode.ThemeIcon('circle-outline');
  }
}

/** The command behind all entries that do something; it is told what. */
const JOB_STEP = 'countersum._jobStep';

function actionItem({ uri }: JobModule, { id }: JobStep, action: JobAction): vscode.TreeItem {
  const title = ACTIONS[action.does]();
  const file = nameOf(vscode.Uri.parse(action.uri));
  // Of what is about one file, its name has what room the label leaves.
  const onFile = ON_FILE.includes(action.does) ? { description: file } : {};
  const spoken = vscode.l10n.t('{0}: press Enter', [title, ...Object.values(onFile)].join(' '));
  // A tooltip would stay over the rows below, where the next button is.
  const shown = treeItem(title, { ...onFile, tooltip: '', spoken });
  shown.id = `action ${uri} ${id} ${action.does}`;
  shown.iconPath = new vscode.ThemeIcon('play-circle', new vscode.ThemeColor('textLink.foreground'));
  shown.command = { command: JOB_STEP, title: literal(title), arguments: [action] };
  return shown;
}

/** Says all of what is open, where the side bar cuts it off. */
function inFullItem({ uri }: JobModule, { id, title, says }: JobStep): vscode.TreeItem {
  const label = vscode.l10n.t('Read It in Full');
  const shown = treeItem(label, { tooltip: '', spoken: vscode.l10n.t('{0}: press Enter', `${label}, ${title}`) });
  shown.id = `in full ${uri} ${id}`;
  shown.iconPath = new vscode.ThemeIcon('info');
  shown.command = { command: 'countersum._readStep', title: literal(label), arguments: [title, says] };
  return shown;
}

const ON_FILE: readonly JobAction['does'][] = ['open', 'save', 'sayUse'];

/** What each button says: so short that it is whole in a side bar as wide as editors open it (`test/client/labels`). */
export const ACTIONS: Readonly<Record<JobAction['does'], () => string>> = {
  open: () => vscode.l10n.t('Open the File'),
  save: () => vscode.l10n.t('Save the File'),
  describe: () => vscode.l10n.t('Name Vehicle and Time…'),
  sayUse: () => vscode.l10n.t('Say What It Is…'),
  bringBack: () => vscode.l10n.t('Bring In the Read-back…'),
  learn: () => vscode.l10n.t('Work Out the Checksum Rule'),
  nameProfile: () => vscode.l10n.t('Name the Profile…'),
  openProfile: () => vscode.l10n.t('Open the Profile'),
  bringIn: () => vscode.l10n.t('Bring In a Dump…'),
  similar: () => vscode.l10n.t('Use Profile in Similar Dumps'),
  confirmSums: () => vscode.l10n.t('Take the Guess Away…'),
  makeBackup: () => vscode.l10n.t('Make a Backup'),
  setOption: () => vscode.l10n.t('Set an Option and Save…'),
  restore: () => vscode.l10n.t('Go Back to the Backup…'),
  findOption: () => vscode.l10n.t('Find an Option'),
  newOption: () => vscode.l10n.t('Name Selected Digits…'),
  planRetrofit: () => vscode.l10n.t('Plan the Retrofit'),
  setAsPlanned: () => BUTTONS.setAsPlanned(),
  settlePlan: () => vscode.l10n.t('Finish or Undo the Plan…'),
  correctChecksums: () => vscode.l10n.t('Correct All Checksums'),
  showProblems: () => vscode.l10n.t('Show the Problems'),
  compareWithBackup: () => vscode.l10n.t('Compare with the Backup'),
  jobCard: () => vscode.l10n.t('Make and Keep the Job Card'),
  verifyReadBack: () => vscode.l10n.t('Verify the Read-back'),
  noteSeen: () => vscode.l10n.t('Note in Profile…'),
  saveToLoad: () => vscode.l10n.t('Save Without Headers…'),
  vehicleRecord: () => vscode.l10n.t('Open the Vehicle Record'),
};

/** What makes a pasted text count, which belongs to no job before. */
function offeredItem(uri: vscode.Uri): vscode.TreeItem {
  const title = BUTTONS.treatAsDump();
  const description = nameOf(uri);
  const spoken = vscode.l10n.t('{0}: press Enter', `${title} ${description}`);
  const shown = treeItem(title, { description, tooltip: '', spoken });
  shown.id = `offered ${uri}`;
  shown.iconPath = new vscode.ThemeIcon('play-circle', new vscode.ThemeColor('textLink.foreground'));
  shown.command = { command: 'countersum.treatAsDump', title: literal(title), arguments: [uri] };
  return shown;
}

function unreadItem(files: readonly UnreadFile[]): vscode.TreeItem {
  const title = vscode.l10n.t('Cannot be read: {0}', files.length);
  const spoken = vscode.l10n.t('{0}. Nothing counts as proved before these can be read.', title);
  const shown = treeItem(title, { tooltip: spoken, spoken }, Expanded);
  shown.id = 'unread';
  shown.iconPath = new vscode.ThemeIcon('warning', new vscode.ThemeColor('list.warningForeground'));
  return shown;
}

function fileItem({ name, says, uri }: UnreadFile): vscode.TreeItem {
  const shown = treeItem(name, { description: says, tooltip: says, spoken: says });
  shown.id = `unread ${uri ?? name}`;
  if (uri !== null) {
    const action: JobAction = { does: 'open', uri, other: null };
    shown.command = { command: JOB_STEP, title: literal(ACTIONS.open()), arguments: [action] };
  }
  return shown;
}

function comparedItem(files: JobsResult['compared']): vscode.TreeItem {
  const title = vscode.l10n.t('For comparison only: {0}', files.length);
  const spoken = vscode.l10n.t('{0}. These have no job, and no byte of them is changed.', title);
  const shown = treeItem(title, { tooltip: spoken, spoken }, Expanded);
  shown.id = 'compared';
  shown.iconPath = new vscode.ThemeIcon('diff');
  return shown;
}

/** What makes dumps count that name no profile: offered here as long as there are some. */
function similarItem({ uri, name, count }: JobsResult['similar'][number]): vscode.TreeItem {
  const title = ACTIONS.similar();
  const description = vscode.l10n.t('{0}, as {1}', count, name);
  const spoken = vscode.l10n.t('{0}: press Enter', `${title} ${description}`);
  const tooltip = vscode.l10n.t('They name no profile yet, so nothing compares them: {0}', count);
  const shown = treeItem(title, { description, tooltip, spoken });
  shown.id = `similar ${uri}`;
  shown.iconPath = new vscode.ThemeIcon('play-circle', new vscode.ThemeColor('textLink.foreground'));
  const action: JobAction = { does: 'similar', uri, other: null };
  shown.command = { command: JOB_STEP, title: literal(title), arguments: [action] };
  return shown;
}

/** What only the editor holds yet, as after *Use Profile in Similar Dumps*: one button for all, as in the notice. */
function unsavedItem(files: JobsResult['compared']): vscode.TreeItem {
  const title = BUTTONS.saveThem();
  const description = files.map(({ name }) => name).join(', ');
  const spoken = vscode.l10n.t('{0}: press Enter', `${title} ${description}`);
  const shown = treeItem(title, { description, tooltip: '', spoken });
  shown.id = 'unsaved compared';
  shown.iconPath = new vscode.ThemeIcon('play-circle', new vscode.ThemeColor('textLink.foreground'));
  const actions = files.map(({ uri }): JobAction => ({ does: 'save', uri, other: null }));
  shown.command = { command: JOB_STEP, title: literal(title), arguments: actions };
  return shown;
}

function comparedFileItem({ uri, name, vehicle }: JobsResult['compared'][number]): vscode.TreeItem {
  const spoken = vscode.l10n.t('{0}: only here to compare with', name);
  const description = vehicle ?? vscode.l10n.t('Vehicle not named yet');
  const shown = treeItem(name, {
    description,
    tooltip: `${spoken} · ${description}`,
    spoken: `${spoken}, ${description}`,
  });
  shown.id = `compared ${uri}`;
  shown.contextValue = 'compared';
  const action: JobAction = { does: 'open', uri, other: null };
  shown.command = { command: JOB_STEP, title: literal(ACTIONS.open()), arguments: [action] };
  return shown;
}
