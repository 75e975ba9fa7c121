import * as vscode from 'vscode';
import {
  OPTION_GROUPS,
  type OptionGroupsResult,
  SIMILAR_DUMPS,
  type SimilarDumpsParams,
  type SimilarDumpsResult,
} from '../../../shared-core/src/protocol/learning.js';
import { type Command, onDump } from '../command.js';
import { addHeadersBeside } from '../headersBeside.js';
import { nameOf } from '../places.js';
import { headersFile } from '../rawPair.js';
import { openUri } from '../rawUri.js';
import { confirm, inform, tellDone, warn, withFiles } from '../ui.js';
import type { Writing } from '../writeEdit.js';
import { HAS_PROFILE } from './conditions.js';

/** *Use Profile in Similar Dumps*: the *Job* view offers it as long as there are such dumps. */
export const useSimilar: Command = {
  id: 'useForSimilar',
  title: 'Use Profile in Similar Dumps',
  does: 'names the profile of the dump in all other dumps of the folder that it explains and that name none, after one question',
  when: HAS_PROFILE,
  run: onDump(async (services, { uri }) => {
    const groups = await services.ask<OptionGroupsResult>(OPTION_GROUPS, { uri: uri.toString() });
    if (groups === undefined) return;
    if (groups.profile !== null) return useForSimilar(services, uri, vscode.Uri.parse(groups.profile));
    void warn(vscode.l10n.t('This dump names no profile that can be read, so there is none for others to use.'));
  }),
};

type Similar = SimilarDumpsResult['dumps'][number];

/** Names the profile of a dump in all others that it explains as well, once the person has seen which ones; where there are none, says so. */
export async function useForSimilar(services: Writing, dump: vscode.Uri, profile: vscode.Uri): Promise<void> {
  const similar = await similarDumps(services, dump, profile);
  if (similar === undefined) return;
  if (similar.dumps.length > 0) return nameInAll(services, dump, profile, similar);
  const none = vscode.l10n.t('{0} explains no other dump of this folder that names no profile yet.', nameOf(profile));
  void inform([none, ...similar.left].join(' '));
}

/** What the server finds, less what the editor may not write. */
async function similarDumps(
  { ask }: Writing,
  dump: vscode.Uri,
  profile: vscode.Uri,
): Promise<SimilarDumpsResult | undefined> {
  const params: SimilarDumpsParams = { uri: dump.toString(), profile: profile.toString() };
  const found = await ask<SimilarDumpsResult>(SIMILAR_DUMPS, params);
  if (found === undefined) return undefined;
  const dumps: Similar[] = [];
  const left = [...found.left];
  for (const one of found.dumps) {
    const file = vscode.Uri.parse(one.uri);
    if ((await isWritable(file)) && (!one.naming.isBeside || (await isWritable(headersFile(file), true))))
      dumps.push(one);
    else left.push(vscode.l10n.t('{0} stays as it is: it is read-only.', one.name));
  }
  return { dumps, left };
}

async function isWritable(uri: vscode.Uri, isNew = uri.scheme === 'untitled'): Promise<boolean> {
  if (vscode.workspace.fs.isWritableFileSystem(uri.scheme) === false) return false;
  try {
    const { permissions } = await vscode.workspace.fs.stat(uri);
    return permissions !== vscode.FilePermission.Readonly;
  } catch {
    // A text that was never saved is on no disk, and headers may be the first ones.
    return isNew;
  }
}

/** The text in which a dump is to name its profile; undefined where its headers are in a file beside it. */
async function textOf({ uri, naming }: Similar): Promise<vscode.TextDocument | undefined> {
  return naming.isBeside ? undefined : vscode.workspace.openTextDocument(openUri(vscode.Uri.parse(uri)));
}

/** All texts in one edit, so that one undo takes it back; a file of headers is written at once. */
async function nameInAll(
  services: Writing,
  dump: vscode.Uri,
  profile: vscode.Uri,
  { dumps, left: others }: SimilarDumpsResult,
): Promise<void> {
  const names = dumps.map(({ name }) => name).join(', ');
  const question =
    dumps.length === 1
      ? vscode.l10n.t('Add the line "@profile {0}" to {1}?', nameOf(profile), names)
      : vscode.l10n.t('Add the line "@profile {0}" to {1} dumps?', nameOf(profile), dumps.length);
  const only = vscode.l10n.t(
    'Only this line is added, so that they are read by the profile. No byte of them changes, and those that are only to compare with stay so.',
  );
  if (!(await confirm(question, 'addLine', [only, ...(dumps.length === 1 ? [] : [names]), ...others]))) return;
  // Open documents have versions, so that nothing is written into a text that has moved on.
  const wanted = dumps.map(({ uri }) => uri);
  for (const one of dumps) await textOf(one);
  const now = (await similarDumps(services, dump, profile))?.dumps.filter(({ uri }) => wanted.includes(uri)) ?? [];
  const texts = await Promise.all(now.map(async (one) => ({ ...one, document: await textOf(one) })));
  const isAsSeen = texts.every(({ naming, document }) => document === undefined || naming.version === document.version);
  if (now.length < wanted.length || !isAsSeen) {
    void warn(vscode.l10n.t('One of the dumps has changed meanwhile. Nothing was written; try again.'));
    return;
  }
  const edit = new vscode.WorkspaceEdit();
  const documents = texts.flatMap(({ document }) => document ?? []);
  for (const { document, path, naming } of texts)
    if (document !== undefined)
      edit.insert(
        document.uri,
        new vscode.Position(naming.line, naming.column),
        `${naming.before}${path}${naming.after}`,
      );
  const files = documents.length === 0 ? '' : await services.write(edit);
  if (files === undefined) {
    void warn(vscode.l10n.t('The editor did not take the changes. Nothing was written.'));
    return;
  }
  for (const { document, uri, path, naming } of texts) {
    if (document !== undefined) continue;
    const why = await addHeadersBeside(vscode.Uri.parse(uri), `${naming.before}${path}${naming.after}`);
    if (why !== undefined) return void warn(why);
  }
  const said = vscode.l10n.t('{0} dumps name {1} now.', now.length, nameOf(profile));
  if (!documents.some(({ isDirty }) => isDirty)) return tellDone(said, files);
  // That the dump at hand names the profile is often not saved yet either.
  const own = vscode.workspace.textDocuments.filter(
    ({ uri, isDirty, isUntitled }) => isDirty && !isUntitled && uri.toString() === dump.toString(),
  );
  const keep =
    own.length === 0
      ? vscode.l10n.t('Save them to keep that.')
      : vscode.l10n.t('Save them, and {0} with them, to keep that.', nameOf(dump));
  if ((await inform(withFiles(said, files || keep), 'saveThem')) === 'saveThem')
    for (const document of [...documents, ...own]) await document.save();
}
