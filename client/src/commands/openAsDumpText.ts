import * as vscode from 'vscode';
import { activeFile } from '../activeFile.js';
import type { Command } from '../command.js';
import { formOfFile } from '../formOfFile.js';
import { isOurs } from '../forms.js';
import { headersBeside } from '../headersBeside.js';
import { nameOf } from '../places.js';
import { LARGEST_RAW, tooLarge } from '../rawFileSystem.js';
import { fileUri, rawUri } from '../rawUri.js';
import type { Services } from '../services.js';
import { textIn } from '../textOrBytes.js';
import { confirm, inform, warn } from '../ui.js';
import { ANY_NAME, IN_BINARY_EDITOR } from './conditions.js';

/** *Open as Dump Text*: the raw bytes of a file as lines of hex, which are saved as raw bytes again. */
export const openAsDumpText: Command = {
  id: 'openAsDumpText',
  title: 'Open as Dump Text',
  does: 'opens a file of raw bytes as lines of hex, with all that Countersum can do; saving writes the raw bytes back',
  icon: 'file-binary',
  menus: [
    { menu: 'explorer/context', group: 'navigation@31', when: ANY_NAME },
    { menu: 'editor/title', group: 'navigation@1', when: IN_BINARY_EDITOR },
    { menu: 'editor/title', group: '1_countersum@1', when: ANY_NAME },
  ],
  run: async ({ client }, given?: vscode.Uri) => {
    const uri = given ?? activeFile();
    if (uri === undefined) {
      void inform(vscode.l10n.t('Open the file first, or choose this from its menu in the explorer.'));
      return;
    }
    const file = fileUri(uri);
    if ((await mayOpenAsDumpText(file)) && (await isMeant(client, file)))
      await vscode.window.showTextDocument(rawUri(file), { preview: false });
  },
};

/** A file that begins as one of another kind does is said to be one first, as where it is brought in. */
async function isMeant(client: Services['client'], file: vscode.Uri): Promise<boolean> {
  const bytes = await vscode.workspace.fs.readFile(file);
  if (bytes.length === 0) return true;
  const headers = (await headersBeside(file)) ?? null;
  const form = await formOfFile(client, file, bytes, { headers, isReadBack: false });
  return !('refused' in form) || confirm(form.refused, 'openBytes');
}

/** Whether a file can be shown so; where not, and where that is hardly what was meant, the person is told. */
export async function mayOpenAsDumpText(file: vscode.Uri): Promise<boolean> {
  const name = nameOf(file);
  if (isOurs(file.path)) {
    const message = vscode.l10n.t(
      'The name of {0} promises a form of text. If it holds raw bytes, give it another ending first, such as ".bin".',
      name,
    );
    void warn(message);
    return false;
  }
  try {
    if ((await vscode.workspace.fs.stat(file)).size > LARGEST_RAW) {
      void warn(tooLarge(name));
      return false;
    }
    const bytes = await vscode.workspace.fs.readFile(file);
    if (bytes.length === 0 || textIn(bytes) === undefined) return true;
  } catch (error) {
    void warn(vscode.l10n.t('{0} cannot be read: {1}', name, error instanceof Error ? error.message : ''));
    return false;
  }
  return confirm(vscode.l10n.t('{0} is text. Open the bytes of its characters all the same?', name), 'openBytes', [
    vscode.l10n.t('If the text is a dump, choose "Treat as a Dump" instead.'),
  ]);
}
