import * as vscode from 'vscode';
import { bullets, plain, say } from '../../../shared-core/src/base/index.js';
import type { FormId } from '../../../shared-core/src/format/index.js';
import { CONVERT, type ConvertParams, type ConvertResult } from '../../../shared-core/src/protocol/convert.js';
import { type Command, onDump } from '../command.js';
import { FORMS } from '../forms.js';
import { freeUnsaved, namesLike } from '../newFile.js';
import type { ShowPage } from '../pages/markdownPages.js';
import { fileUri } from '../rawUri.js';
import { chooseOne, warn } from '../ui.js';
import { HAS_DUMP } from './conditions.js';

/** *Convert to Another Form…*: the same bytes as a new text beside the dump, which nothing saves but its user. */
export const convert: Command = {
  id: 'convert',
  title: 'Convert to Another Form…',
  does: 'opens the same bytes in another written form, as a new text; names what that has no place for',
  when: HAS_DUMP,
  run: onDump(async ({ ask, showPage }, { uri, languageId }) => {
    const others = forms().filter(({ language }) => language !== languageId);
    const form = await chooseOne(others, { title: vscode.l10n.t('Which form is it to be written in?') });
    if (!form) return;
    const params: ConvertParams = { uri: uri.toString(), to: form.to };
    const result = await ask<ConvertResult>(CONVERT, params);
    if (result === undefined) return;
    await vscode.window.showTextDocument(await open(uri, form, result.text), {
      preview: false,
      selection: new vscode.Range(0, 0, 0, 0),
    });
    if (result.lost.length > 0) void tellLost(result.lost, showPage);
  }),
};

interface Form {
  readonly to: FormId;
  readonly language: string;
  readonly ending: string;
  readonly label: string;
}

function forms(): readonly Form[] {
  return FORMS.map(({ id: to, title, language, endings: [ending] }) => {
    const name = say(title, vscode.l10n.bundle);
    return { to, language, ending, label: `${name.charAt(0).toUpperCase()}${name.slice(1)} (*.${ending})` };
  });
}

/** An unsaved text that has, where the dump lies on a disk, a name that no file beside it has. */
async function open(beside: vscode.Uri, { language, ending }: Form, text: string): Promise<vscode.TextDocument> {
  const file = fileUri(beside);
  const target = await freeUnsaved(file, namesLike(file, ending));
  if (target === undefined) return vscode.workspace.openTextDocument({ language, content: text });
  const document = await vscode.workspace.openTextDocument(target);
  const edit = new vscode.WorkspaceEdit();
  edit.replace(document.uri, new vscode.Range(0, 0, document.lineCount, 0), text);
  await vscode.workspace.applyEdit(edit);
  return vscode.languages.setTextDocumentLanguage(document, language);
}

async function tellLost(lost: readonly string[], showPage: ShowPage): Promise<void> {
  const [first = ''] = lost;
  const message =
    lost.length === 1
      ? vscode.l10n.t('Not in the converted text: {0}', first)
      : vscode.l10n.t('Not in the converted text: {0} and {1} more', first, lost.length - 1);
  if ((await warn(message, ...(lost.length === 1 ? [] : (['showAll'] as const)))) !== 'showAll') return;
  const name = vscode.l10n.t('Not in the converted text');
  await showPage(name, `# ${name}\n\n${bullets(lost.map(plain))}\n`);
}
