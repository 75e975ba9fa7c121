import * as vscode from 'vscode';
import { readTimeSpan, timesIn } from '../../../shared-core/src/base/index.js';
import { DESCRIBE, type DescribeParams, type DescribeResult } from '../../../shared-core/src/protocol/jobs.js';
import {
  askMissing,
  askTime,
  askVehicle,
  type ChosenFile,
  type OfferedTime,
  type Purpose,
  pastedTooEarly,
  type ReadBefore,
  type Said,
  timeOffered,
  whyTooEarly,
} from '../askReading.js';
import type { Command } from '../command.js';
import { addHeadersBeside, headerIn, headersBeside } from '../headersBeside.js';
import { looksLikeDump } from '../looksLikeDump.js';
import { firstFree, freeUnsaved, numbered, savedAt, stemOf, writeText } from '../newFile.js';
import { nameOf } from '../places.js';
import { fileUri } from '../rawUri.js';
import type { Services } from '../services.js';
import { askText, chooseOne, inform, tellDone, tellUntilTyped, warn } from '../ui.js';
import { intoFiles, type Writing } from '../writeEdit.js';
import { bringFile, chooseFiles, endingOf, isDumpName } from './bringFile.js';
import { IN_JOB } from './conditions.js';
import { whoseReading } from './whoseReading.js';

/** *Bring In a Dump…*: what was read from a module, pasted into a new text or taken from a file. */
export const bringIn: Command = {
  id: 'bringIn',
  title: 'Bring In a Dump…',
  does: 'the first step of a job: opens a new text to paste into, or a file of your choice, raw bytes too, and says in it of which vehicle it is and when it was read',
  icon: 'add',
  menus: [{ menu: 'view/title', group: 'navigation@1', when: IN_JOB }],
  run: async (services) => {
    const way = await chooseWay(vscode.l10n.t('How do you bring in the dump?'));
    const purpose = way && (await choosePurpose());
    if (way === undefined || purpose === undefined) return;
    const use = purpose === 'work' ? {} : { use: purpose };
    const folder = await folderForDumps();
    const asking = { vehicles: services.job.vehicles(), purpose };
    if (way === 'file') {
      for (const file of await chooseFiles(purpose === 'comparison')) {
        // All is asked before the file is copied, so that whoever goes away leaves nothing behind.
        const answer: { said?: Said | undefined } = {};
        const asked = async (chosen: ChosenFile) => {
          answer.said = await askMissing(chosen, asking);
          return answer.said !== undefined;
        };
        const brought = await bringFile(services.client, file, folder, { asked, isReadBack: false });
        const { said } = answer;
        if ('said' in answer && said === undefined) return;
        if (brought === undefined || said === undefined) continue;
        await addHeaders({ ...services, write: intoFiles }, brought, { ...said, ...use }, broughtIn(brought));
      }
      return;
    }
    const vehicle = await askVehicle(asking);
    const module = vehicle && (await askModule());
    const taken = module && (purpose === 'work' ? await askTime() : undefined);
    if (!module || (purpose === 'work' && !taken)) return;
    const document = await newText(folder, module);
    await fill(services, document, { vehicle, ...(taken && { taken }), ...use });
  },
};

function broughtIn({ uri }: vscode.TextDocument): string {
  return vscode.l10n.t('{0} is in the folder.', nameOf(fileUri(uri)));
}

/** What was read back from the module of a dump: it lies beside the dump, and says that it is of the same vehicle. */
export async function bringBack(services: Services, of: vscode.Uri): Promise<void> {
  const way = await chooseWay(vscode.l10n.t('How do you bring in what was read back?'));
  if (way === undefined) return;
  // Which reading is the latest goes by this time: it is that of the reading, not of the pasting. Of a file it is asked
  // before that is copied, so that whoever goes away leaves nothing behind.
  const before = await whenRead(of);
  let taken = way === 'file' ? undefined : await askTime(undefined, before);
  let offer: OfferedTime | undefined;
  const asked = async (file: ChosenFile) => {
    offer = timeOffered(file, before);
    taken = await askTime(offer, before);
    return taken !== undefined && taken !== '';
  };
  if (way === 'paste' && !taken) return;
  const [file] = way === 'file' ? await chooseFiles(false, vscode.l10n.t('Which file was read back?')) : [];
  if (way === 'file' && file === undefined) return;
  await services.job.hold(async () => {
    const document = file
      ? await bringFile(services.client, file, vscode.Uri.joinPath(of, '..'), { asked, isReadBack: true })
      : await newReading(of);
    if (document === undefined || !taken) return;
    const whose = await whoseReading(services, document, of);
    if (whose !== undefined) {
      await fill(services, document, { ...whose, taken });
      const early = offer?.early ?? whyTooEarly(taken, before);
      if (early !== undefined) void warn(early);
      return;
    }
    await leaveOut(services.client, document, file);
    // The views beside the text are about what is in front.
    const worked = await vscode.workspace.openTextDocument(services.client.protocol2CodeConverter.asUri(of.toString()));
    await vscode.window.showTextDocument(worked, { preview: false });
  });
}

/** When the backup of a dump was read, or the dump itself where it names none. */
async function whenRead(of: vscode.Uri): Promise<ReadBefore | undefined> {
  const own = await headersOf(of);
  const name = headerIn(own, 'backup');
  const backup = name === undefined ? undefined : vscode.Uri.joinPath(of, '..', name);
  const text = backup === undefined ? own : await headersOf(backup);
  const taken = readTimeSpan(headerIn(text, 'taken') ?? '');
  return taken && { name: nameOf(backup ?? of), taken, rows: timesIn(text) };
}

/** The text of a dump, which holds its headers, or those beside it; nothing where neither can be read: it only helps. */
async function headersOf(dump: vscode.Uri): Promise<string> {
  try {
    return (await headersBeside(dump)) || (await vscode.workspace.openTextDocument(dump)).getText();
  } catch {
    return '';
  }
}

/** `FileChangeType.Deleted` of the protocol. */
const DELETED = 3;

/** Takes the copy of a file away that was brought in by mistake; a file that was in the folder before stays there. */
async function leaveOut(
  client: Services['client'],
  document: vscode.TextDocument,
  chosen: vscode.Uri | undefined,
): Promise<void> {
  const file = fileUri(document.uri);
  if (chosen === undefined || file.toString() === chosen.toString()) {
    const says = vscode.l10n.t(
      '{0} stays in the folder and names no vehicle yet. In the Job view, press "Name Vehicle and Time…" where it is listed.',
      nameOf(file),
    );
    return void inform(says);
  }
  const isOfIt = ({ input }: vscode.Tab) =>
    input instanceof vscode.TabInputText && input.uri.toString() === document.uri.toString();
  await vscode.window.tabGroups.close(vscode.window.tabGroups.all.flatMap(({ tabs }) => tabs.filter(isOfIt)));
  await vscode.workspace.fs.delete(file);
  // The editor keeps its text for minutes, and not all files are watched.
  const changes = [{ uri: file.toString(), type: DELETED }];
  await client.sendNotification('workspace/didChangeWatchedFiles', { changes });
  tellDone(vscode.l10n.t('{0} was not brought in.', nameOf(file)));
}

/** Says in a dump of which vehicle it is and when it was read, as far as it does not. */
export async function describe(services: Services, document: vscode.TextDocument): Promise<void> {
  const { uri } = document;
  const text = `${document.getText()}\n${(await headersBeside(uri)) ?? ''}`;
  const saved = document.isDirty ? undefined : await savedAt(fileUri(uri));
  const said = await askMissing(
    { name: nameOf(uri), text, saved },
    { vehicles: services.job.vehicles(), purpose: 'work', isUnsaid: true },
  );
  if (said !== undefined) await addHeaders(services, document, said);
}

type Way = 'paste' | 'file';

async function chooseWay(title: string): Promise<Way | undefined> {
  const ways: readonly (vscode.QuickPickItem & { readonly way: Way })[] = [
    {
      way: 'paste',
      label: vscode.l10n.t('Paste it'),
      detail: vscode.l10n.t('Some questions first, then a new text opens to paste into'),
    },
    {
      way: 'file',
      label: vscode.l10n.t('Choose a file…'),
      detail: vscode.l10n.t('A text or raw bytes that another program saved'),
    },
  ];
  return (await chooseOne(ways, { title, ignoreFocusOut: true }))?.way;
}

/** What a dump is for, which decides whether it has a job. */
async function choosePurpose(): Promise<Purpose | undefined> {
  const work = {
    as: 'work' as const,
    label: vscode.l10n.t('To work on'),
    detail: vscode.l10n.t('It has a job, from its backup to the read-back'),
  };
  const title = vscode.l10n.t('What is the dump for?');
  return (await chooseOne([work, comparison()], { title, ignoreFocusOut: true }))?.as;
}

/** The choice that a dump is only to be compared with. */
export function comparison(): vscode.QuickPickItem & { readonly as: 'comparison' } {
  return {
    as: 'comparison',
    label: vscode.l10n.t('Only to compare with'),
    detail: vscode.l10n.t('Such as that of a donor car: it has no job, and no byte of it is changed'),
  };
}

/** Where the dumps of a vehicle are kept; undefined where no folder is open. */
async function folderForDumps(): Promise<vscode.Uri | undefined> {
  const [only, ...more] = vscode.workspace.workspaceFolders ?? [];
  return more.length === 0 ? only?.uri : (await vscode.window.showWorkspaceFolderPick())?.uri;
}

async function askModule(): Promise<string | undefined> {
  return askText({
    title: vscode.l10n.t('Which module was it read from?'),
    prompt: vscode.l10n.t('The file gets this name, such as "rear body".'),
    ignoreFocusOut: true,
    check: async (text) => {
      if (text.trim() === '') return { says: vscode.l10n.t('Write a name by which to find the file.'), takes: false };
      return looksLikeDump(text) ? pastedTooEarly() : undefined;
    },
  });
}

/** A new text that is not saved yet, under the name of its module. */
async function newText(folder: vscode.Uri | undefined, module: string): Promise<vscode.TextDocument> {
  const stem = module.trim().replace(/[^\p{L}\p{N}._-]+/gu, '-') || 'dump';
  const names = numbered((number) => `${stem}${number === 1 ? '' : `-${number}`}.cfgdump`);
  const target = folder && (await freeUnsaved(vscode.Uri.joinPath(folder, 'x'), names));
  if (target === undefined) return vscode.workspace.openTextDocument({ language: 'cfgdump', content: '' });
  return vscode.languages.setTextDocumentLanguage(await vscode.workspace.openTextDocument(target), 'cfgdump');
}

/** A new file beside a dump: only there its profile is found. */
async function newReading(of: vscode.Uri): Promise<vscode.TextDocument | undefined> {
  const stem = stemOf(of).replace(/\.(?:backup|as-found)(?:-\d+)?$/, '');
  // Into a file of raw bytes nothing can be pasted.
  const ending = isDumpName(of) ? endingOf(of) : 'cfgdump';
  const target = await firstFree(
    of,
    numbered((number) => `${stem}.read-back${number === 1 ? '' : `-${number}`}.${ending}`),
  );
  if (target === undefined) {
    void warn(vscode.l10n.t('All names for what was read back are taken here. Move old ones away first.'));
    return undefined;
  }
  await writeText(target, '');
  return vscode.workspace.openTextDocument(target);
}

/** Opens a text with its headers; what was read goes to where the cursor is. */
async function fill(services: Writing, document: vscode.TextDocument, say: Omit<DescribeParams, 'uri'>): Promise<void> {
  const isNew = document.getText().trim() === '';
  const editor = await vscode.window.showTextDocument(document, { preview: false });
  await addHeaders(services, document, say);
  if (!isNew) return;
  // What is read into an image goes before its headers.
  const line = document.languageId === 'cfgdump' ? document.lineCount - 1 : 0;
  editor.selection = new vscode.Selection(line, 0, line, 0);
  // A file has its headers at once, so that it is known for what it is even if nothing is pasted.
  if (document.uri.scheme !== 'untitled') await document.save();
  tellUntilTyped(document, vscode.l10n.t('Paste what was read here, and save it.'));
}

/** Writes headers into a dump, or into the file beside one whose text has no place for them, and says what became of the file, or what is `done` by that. */
export async function addHeaders(
  { ask, write }: Writing,
  document: vscode.TextDocument,
  say: Omit<DescribeParams, 'uri'>,
  done = '',
): Promise<void> {
  const added = await ask<DescribeResult>(DESCRIBE, { uri: document.uri.toString(), ...say });
  if (added === undefined || (added.text === '' && added.drops.length === 0)) return;
  if (added.isBeside) {
    const why = await addHeadersBeside(document.uri, added.text, added.drops.length > 0 ? 'use' : undefined);
    if (why !== undefined) void warn(why);
    else if (done !== '') tellDone(done);
    return;
  }
  if (added.version !== document.version) {
    void warn(vscode.l10n.t('The dump has changed meanwhile. Run the command again.'));
    return;
  }
  const edit = new vscode.WorkspaceEdit();
  for (const row of added.drops) edit.replace(document.uri, new vscode.Range(row, 0, row + 1, 0), '');
  if (added.text !== '') edit.insert(document.uri, new vscode.Position(added.line, added.column), added.text);
  const files = await write(edit);
  // What became of the file names it too.
  const says = files === '' ? done : files;
  if (says !== undefined && says !== '') tellDone(says);
}
