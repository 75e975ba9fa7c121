import * as vscode from 'vscode';
import {
  BACKUP,
  BACKUP_WRITTEN,
  type BackupParams,
  type BackupResult,
  type BackupWrittenParams,
} from '../../shared-core/src/protocol/backup.js';
import { tick } from './firstSteps.js';
import { addHeadersBeside } from './headersBeside.js';
import { exists, firstFree, writeText } from './newFile.js';
import { nameOf } from './places.js';
import { headersFile } from './rawPair.js';
import { fileUri, isRaw, rawUri } from './rawUri.js';
import { inform, tellDone, warn, withFiles } from './ui.js';
import type { Writing } from './writeEdit.js';

/** A backup that was made, and where its name is to be written by hand; undefined where the dump names it. */
interface Sealed {
  readonly name: string;
  /** What became of the file of the dump. */
  readonly files: string;
  readonly isSaved: boolean;
  readonly unnamedIn: string | undefined;
}

/** Makes backups of dumps, of which the person is told at once; false where one has none then, or does not name it. */
export async function backupOf(services: Writing, ...documents: readonly vscode.TextDocument[]): Promise<boolean> {
  const made: Sealed[] = [];
  for (const document of documents) {
    const sealed = await sealedCopy(services, document);
    if (sealed !== undefined) made.push(sealed);
  }
  const unnamed = made.filter(({ unnamedIn }) => unnamedIn !== undefined);
  const named = (saved: boolean) =>
    made.flatMap(({ name, isSaved, unnamedIn }) => (unnamedIn === undefined && isSaved === saved ? name : []));
  const [now, before] = [named(false).join(', '), named(true).join(', ')];
  if (now !== '' && unnamed.length === 0 && before === '') {
    tellDone(
      vscode.l10n.t('Backup sealed: {0}', now),
      made.reduce((says, { files }) => withFiles(says, files), ''),
    );
    void inform(vscode.l10n.t('Backup sealed: keep a second copy elsewhere.'));
    return made.length === documents.length;
  }
  const said = [
    ...unnamed.map(({ name, unnamedIn = '' }) =>
      vscode.l10n.t('Backup sealed: {0}. Nothing names it yet: write "@backup {0}" into {1}.', name, unnamedIn),
    ),
    ...(now === '' ? [] : [vscode.l10n.t('Backup sealed: {0}. Keep a second copy somewhere else.', now)]),
    ...(before === ''
      ? []
      : [
          vscode.l10n.t(
            'Backup sealed of the file as it was last saved: {0}. Keep a second copy somewhere else.',
            before,
          ),
        ]),
  ];
  if (said.length > 0)
    void (unnamed.length > 0 ? warn : inform)(made.reduce((says, { files }) => withFiles(says, files), said.join(' ')));
  return made.length === documents.length && unnamed.length === 0;
}

async function sealedCopy({ ask, write }: Writing, document: vscode.TextDocument): Promise<Sealed | undefined> {
  const params: BackupParams = { uri: document.uri.toString(), isRaw: isRaw(document.uri) };
  const result = await ask<BackupResult>(BACKUP, params);
  if (result === undefined) return undefined;
  const withHeaders = async (uri: vscode.Uri) => (await exists(uri)) || exists(headersFile(uri));
  const { beside, isSaved } = result;
  const keepsBeside = isRaw(document.uri) || beside !== undefined;
  const target = await firstFree(document.uri, result.names, keepsBeside ? withHeaders : exists);
  if (target === undefined) {
    void warn(vscode.l10n.t('All names for a backup are taken here. Move old backups away first.'));
    return undefined;
  }
  // Raw bytes become raw bytes again, with their headers beside them.
  await writeText(isRaw(document.uri) ? rawUri(target) : target, result.text);
  if (beside !== undefined) await writeText(headersFile(target), beside);
  const written: BackupWrittenParams = { uri: target.toString(), seal: result.seal };
  if ((await ask<object>(BACKUP_WRITTEN, written)) === undefined) return undefined;
  const name = nameOf(target);
  tick('makeBackup');
  const namedIn = fileUri(beside === undefined ? document.uri : headersFile(fileUri(document.uri)));
  const files = await nameBackup(write, document, result, name);
  return { name, files: files ?? '', isSaved, unnamedIn: files === undefined ? nameOf(namedIn) : undefined };
}

/** Names the backup in the dump, and says what became of its file; not where that has changed since, as the line may be another one by now. */
async function nameBackup(
  write: Writing['write'],
  document: vscode.TextDocument,
  { line, column, replaces, before, after, version, beside }: BackupResult,
  name: string,
): Promise<string | undefined> {
  if (document.version !== version) return undefined;
  if (beside !== undefined)
    return (await addHeadersBeside(document.uri, `${before}${name}${after}`, 'backup')) === undefined ? '' : undefined;
  const edit = new vscode.WorkspaceEdit();
  const header = `${before}${name}${after}`;
  if (replaces) edit.replace(document.uri, document.lineAt(line).range, header);
  else edit.insert(document.uri, new vscode.Position(line, column), header);
  return write(edit);
}
