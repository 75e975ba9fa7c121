import * as vscode from 'vscode';
import type { DescribeParams } from '../../../shared-core/src/protocol/jobs.js';
import { activeDump } from '../activeDump.js';
import { askMissing } from '../askReading.js';
import type { Command } from '../command.js';
import { headersBeside } from '../headersBeside.js';
import { nameOf } from '../places.js';
import type { Services } from '../services.js';
import { chooseOne } from '../ui.js';
import type { JobNode } from '../views/jobItems.js';
import { intoFiles, type Writing } from '../writeEdit.js';
import { addHeaders, comparison, describe } from './bringIn.js';
import { HAS_DUMP, IN_JOB } from './conditions.js';
import { whoseReading } from './whoseReading.js';

/** *Only to Compare With*: a dump is no step of a job from then on, and no byte of it is ever changed. */
export const onlyToCompare: Command = {
  id: 'onlyToCompare',
  title: 'Only to Compare With',
  does: 'says in a dump that it is only here to compare with (`@use comparison`): it is no step of a job, and no byte of it is ever changed',
  icon: 'diff',
  when: HAS_DUMP,
  menus: [{ menu: 'view/item/context', group: '1_use@1', when: `${IN_JOB} && viewItem == module` }],
  run: (services, node?: JobNode) => use(services, node, 'comparison'),
};

/** *Work on This Dump*: takes that back. */
export const workOnDump: Command = {
  id: 'workOnDump',
  title: 'Work on This Dump',
  does: 'takes `@use` out of a dump, so that it has a job again',
  icon: 'tools',
  when: HAS_DUMP,
  menus: [{ menu: 'view/item/context', group: 'inline', when: `${IN_JOB} && viewItem == compared` }],
  run: (services, node?: JobNode) => use(services, node, 'work'),
};

async function use(services: Services, node: JobNode | undefined, as: Use): Promise<void> {
  const address = node?.kind === 'module' ? node.module.uri : node?.kind === 'compared' ? node.file.uri : undefined;
  const dump =
    address === undefined ? activeDump(services.current)?.uri : services.client.protocol2CodeConverter.asUri(address);
  if (dump === undefined) return;
  const document = await shown(dump);
  const said = as === 'comparison' ? await vehicleOf(services, document) : {};
  // The steps of the job go by the files.
  if (said !== undefined)
    await addHeaders(node === undefined ? services : { ...services, write: intoFiles }, document, { use: as, ...said });
}

/** Of which vehicle a dump to compare with is, where it does not say so and a person knows; undefined where they go away. */
async function vehicleOf(
  { job }: Services,
  document: vscode.TextDocument,
): Promise<Pick<DescribeParams, 'vehicle'> | undefined> {
  const text = `${document.getText()}\n${(await headersBeside(document.uri)) ?? ''}`;
  const file = { name: nameOf(document.uri), text, saved: undefined };
  const said = await askMissing(file, { vehicles: job.vehicles(), purpose: 'comparison', mayBeUnknown: true });
  return said && (said.vehicle ? { vehicle: said.vehicle } : {});
}

type Use = NonNullable<DescribeParams['use']>;

/** Says in a dump what it is here for. */
function sayUse(services: Writing, document: vscode.TextDocument, as: Use): Promise<void> {
  return addHeaders(services, document, { use: as });
}

/** Asks what a file is that may be a later reading of the module `of` a dump. */
export async function askUse(
  services: Services,
  document: vscode.TextDocument,
  of: vscode.Uri | undefined,
): Promise<void> {
  const readBack = {
    as: 'readBack' as const,
    label: vscode.l10n.t('A Read-Back of This Module'),
    detail: vscode.l10n.t('It was read from the module of this job, and may prove what was written'),
  };
  const other = {
    as: 'another-module' as const,
    label: vscode.l10n.t("Another Module's"),
    detail: vscode.l10n.t('It says nothing of the module of this job, and has a job of its own'),
  };
  const ways: readonly (vscode.QuickPickItem & { readonly as: Use | 'readBack' })[] = [
    other,
    comparison(),
    ...(of === undefined ? [] : [readBack]),
  ];
  const title = vscode.l10n.t('What is {0}?', nameOf(document.uri));
  const chosen = await chooseOne(ways, { title, ignoreFocusOut: true });
  if (chosen === undefined) return;
  if (chosen.as !== 'readBack') return sayUse(services, document, chosen.as);
  const whose = of && (await whoseReading(services, document, of));
  if (whose === undefined) return;
  await addHeaders(services, document, whose);
  if (whose.like !== undefined) await describe(services, document);
}

async function shown(uri: vscode.Uri): Promise<vscode.TextDocument> {
  const document = await vscode.workspace.openTextDocument(uri);
  await vscode.window.showTextDocument(document, { preview: false });
  return document;
}
