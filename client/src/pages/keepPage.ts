import * as vscode from 'vscode';
import type { Button } from '../buttons.js';
import { firstFree, numbered, writeText } from '../newFile.js';
import { nameOf } from '../places.js';
import { inform, warn } from '../ui.js';
import { printed } from './printed.js';

/** A page in Markdown that a person may want to keep beside a dump, as text or for printing. */
export interface KeptPage {
  readonly title: string;
  readonly page: string;
  /** Its file is called by this and then ".job-card.md", or another ending that says what it is. */
  readonly stem: string;
  readonly kind: string;
}

/** Asks whether a page is to be kept, and keeps it. The message stays until it is answered. */
export async function offerToKeep(
  dump: vscode.Uri,
  kept: KeptPage,
  ask: (...answers: readonly Button[]) => Promise<Button | undefined>,
): Promise<void> {
  const chosen = await ask('keep', 'print');
  if (chosen === 'keep') await keepBeside(dump, kept);
  else if (chosen === 'print') {
    const target = await write(dump, kept, 'html', await printed(kept.title, kept.page));
    if (target) await openToPrint(target);
  }
}

/** Keeps a page as text beside a dump and shows it. */
export async function keepBeside(dump: vscode.Uri, kept: KeptPage): Promise<void> {
  const target = await write(dump, kept, 'md', kept.page);
  if (target) await showKept(target);
}

/** Shows a kept page in a tab of its own: the editor has one preview, which the next page that is computed takes. */
export async function showKept(page: vscode.Uri): Promise<void> {
  await vscode.commands.executeCommand('vscode.openWith', page, 'vscode.markdown.preview.editor');
}

/** Writes beside the dump, never over another file. */
async function write(
  dump: vscode.Uri,
  { stem, kind }: KeptPage,
  ending: string,
  text: string,
): Promise<vscode.Uri | undefined> {
  const names = numbered((number) => `${stem}${number === 1 ? '' : `.${number}`}.${kind}.${ending}`);
  const target = await firstFree(dump, names);
  if (target === undefined) {
    void warn(vscode.l10n.t('All names for this page are taken here. Move old ones away.'));
    return undefined;
  }
  await writeText(target, text);
  return target;
}

/** A browser prints; where none can be reached from here, the person opens the file in one. */
export async function openToPrint(target: vscode.Uri): Promise<void> {
  const isHere = target.scheme === 'file' && vscode.env.remoteName === undefined;
  if (isHere && (await vscode.env.openExternal(target))) return;
  void inform(vscode.l10n.t('{0} is for printing: open it in a browser.', nameOf(target)));
}
