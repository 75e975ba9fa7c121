import * as vscode from 'vscode';
import type { TextReading } from '../../../shared-core/src/protocol/raw.js';
import { isDump } from '../activeDump.js';
import type { ChosenFile } from '../askReading.js';
import { formOfFile } from '../formOfFile.js';
import { DUMP_ENDINGS, FORMS } from '../forms.js';
import { headersBeside } from '../headersBeside.js';
import { firstFree, namesLike, savedAt } from '../newFile.js';
import { nameOf } from '../places.js';
import { rawUri } from '../rawUri.js';
import type { Services } from '../services.js';
import { warn } from '../ui.js';
import { mayOpenAsDumpText } from './openAsDumpText.js';
import { readAs } from './treatAsDump.js';

/** Files that a person chooses; none where the person goes away. */
export async function chooseFiles(
  several: boolean,
  title = several ? vscode.l10n.t('Which files are the dumps?') : vscode.l10n.t('Which file is the dump?'),
): Promise<readonly vscode.Uri[]> {
  return (await vscode.window.showOpenDialog({ canSelectMany: several, title })) ?? [];
}

/** How a chosen file is brought in. */
interface Bringing {
  /** Asks what is to be known of the file; false where the person goes away. */
  readonly asked: (file: ChosenFile) => Promise<boolean>;
  /** Whether it is to be what was read back from a module. */
  readonly isReadBack: boolean;
}

/**
 * A file that a person has chosen. One from elsewhere is copied into the folder, so that the vehicle has all in one place;
 * not where `asked` says no.
 */
export async function bringFile(
  client: Services['client'],
  chosen: vscode.Uri,
  folder: vscode.Uri | undefined,
  { asked, isReadBack }: Bringing,
): Promise<vscode.TextDocument | undefined> {
  const bytes = await vscode.workspace.fs.readFile(chosen);
  const headers = (await headersBeside(chosen)) ?? null;
  const form = await formOfFile(client, chosen, bytes, { headers, isReadBack });
  if ('refused' in form) {
    void warn(form.refused);
    return undefined;
  }
  const { isRaw: isOfBytes, reading } = form;
  // Raw bytes under a name that promises a text are told from it.
  const isRaw = isOfBytes || (bytes.includes(0) && !isUtf16(bytes));
  if (isRaw && !(await mayOpenAsDumpText(chosen))) return undefined;
  const keepsName = isRaw || reading !== null || isDumpName(chosen);
  const isHere = keepsName && (folder === undefined || isBelow(folder, chosen));
  const text = `${isRaw ? '' : new TextDecoder().decode(bytes)}\n${isHere ? (headers ?? '') : ''}`;
  if (!(await asked({ name: nameOf(chosen), text, saved: await savedAt(chosen) }))) return undefined;
  const usual = FORMS.find(({ language }) => language === reading?.language);
  const ending = keepsName ? endingOf(chosen) || (usual?.endings[0] ?? '') : 'cfgdump';
  const target = isHere ? chosen : await copyInto(folder, chosen, bytes, ending);
  if (target === undefined) return undefined;
  const document = await vscode.workspace.openTextDocument(isRaw ? rawUri(target) : target);
  const dump = await asDump(document, reading);
  await vscode.window.showTextDocument(dump, { preview: false });
  return dump;
}

async function asDump(document: vscode.TextDocument, form: TextReading | null): Promise<vscode.TextDocument> {
  if (form !== null) return (await readAs(document, form.language, form.word)).shown;
  return isDump(document) ? document : vscode.languages.setTextDocumentLanguage(document, 'cfgdump');
}

/** Whether a file is known for a dump by its name. */
export function isDumpName(file: vscode.Uri): boolean {
  return DUMP_ENDINGS.includes(endingOf(file).toLowerCase());
}

export function endingOf(file: vscode.Uri): string {
  return nameOf(file).split('.').slice(1).at(-1) ?? '';
}

function isBelow(folder: vscode.Uri, { scheme, authority, path }: vscode.Uri): boolean {
  const top = folder.path.endsWith('/') ? folder.path : `${folder.path}/`;
  return scheme === folder.scheme && authority === folder.authority && path.startsWith(top);
}

/** Whether a text has the mark of UTF-16, in which every other byte may be 0. */
function isUtf16([first, second]: Uint8Array): boolean {
  return (first === 0xff && second === 0xfe) || (first === 0xfe && second === 0xff);
}

/** The bytes as they are, under a name that no other file has; a text without the name of a dump gets the given ending. */
async function copyInto(
  folder: vscode.Uri | undefined,
  chosen: vscode.Uri,
  bytes: Uint8Array,
  ending: string,
): Promise<vscode.Uri | undefined> {
  if (folder === undefined) return chosen;
  const beside = vscode.Uri.joinPath(folder, nameOf(chosen));
  const target = await firstFree(beside, namesLike(beside, isDumpName(chosen) ? endingOf(chosen) : ending || 'bin'));
  if (target === undefined) {
    void warn(vscode.l10n.t('All names for this dump are taken here. Move old ones away first.'));
    return undefined;
  }
  await vscode.workspace.fs.writeFile(target, bytes);
  return target;
}
