import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  READINGS,
  type ReadingsParams,
  type ReadingsResult,
  type TextReading,
} from '../../../shared-core/src/protocol/raw.js';
import { activeFile } from '../activeFile.js';
import type { Command } from '../command.js';
import { addHeadersBeside } from '../headersBeside.js';
import { nameOf } from '../places.js';
import { isText } from '../textOrBytes.js';
import { rememberLanguage } from '../treatedAs.js';
import { chooseOne, inform, tellDone, warn } from '../ui.js';
import { ANY_NAME } from './conditions.js';

/** *Treat as a Dump*: a text of any name is read as the form that it is written in, now and whenever its folder is open. */
export const treatAsDump: Command = {
  id: 'treatAsDump',
  title: 'Treat as a Dump',
  does: 'reads a text of any name as a dump, with all features, and remembers it for this folder (`files.associations`)',
  menus: [
    { menu: 'explorer/context', group: 'navigation@32', when: ANY_NAME },
    { menu: 'editor/title', group: '1_countersum@2', when: ANY_NAME },
  ],
  run: async ({ client }, given?: vscode.Uri) => {
    const uri = given ?? vscode.window.activeTextEditor?.document.uri ?? activeFile();
    if (uri === undefined) {
      void inform(vscode.l10n.t('Open the file first, or choose this from its menu in the explorer.'));
      return;
    }
    const document = await openText(uri);
    if (document === undefined || !isText(document.getText())) {
      // What is no text is raw bytes.
      await vscode.commands.executeCommand('countersum.openAsDumpText', uri);
      return;
    }
    const reading = await chooseReading(client, document);
    if (reading === undefined) return;
    const language = reading === 'unknown' ? 'cfgdump' : reading.language;
    const { shown, isRemembered } = await readAs(document, language, reading === 'unknown' ? undefined : reading.word);
    await vscode.window.showTextDocument(shown, { preview: false });
    const said = remembered(uri, isRemembered);
    // What comes next is above the text and in the *Job* view, and goes away there once it is done.
    if (isRemembered || uri.scheme === 'untitled') tellDone(said);
    else void inform(said);
  },
};

/** Whether it is remembered that a text is a dump, and else what would help. */
function remembered(uri: vscode.Uri, isRemembered: boolean): string {
  const name = nameOf(uri);
  if (isRemembered) return vscode.l10n.t('{0} is a dump from now on (files.associations).', name);
  return uri.scheme === 'untitled'
    ? vscode.l10n.t("{0} is a dump now. Save it in its vehicle's folder.", name)
    : vscode.l10n.t('{0} is treated as a dump while it is open. To have that remembered, open its folder.', name);
}

/** Has the editor read a text in a form, now and whenever its folder is open. */
export async function readAs(
  document: vscode.TextDocument,
  language: string,
  word: string | undefined,
): Promise<{ readonly shown: vscode.TextDocument; readonly isRemembered: boolean }> {
  const { uri } = document;
  const why = word === undefined ? undefined : await addHeadersBeside(uri, `@word ${word}\n`, 'word');
  if (why !== undefined) void warn(why);
  const shown = await vscode.languages.setTextDocumentLanguage(document, language);
  return { shown, isRemembered: await rememberLanguage(uri, language) };
}

async function openText(uri: vscode.Uri): Promise<vscode.TextDocument | undefined> {
  try {
    return await vscode.workspace.openTextDocument(uri);
  } catch {
    return undefined;
  }
}

/** The reading that is sure, or the one that a person chooses by a sample of each; `unknown` where it is to be worked out. */
async function chooseReading(
  client: BaseLanguageClient,
  document: vscode.TextDocument,
): Promise<TextReading | 'unknown' | undefined> {
  const params: ReadingsParams = { text: document.getText() };
  const { isCertain, readings, looksLikeDump } = await client.sendRequest<ReadingsResult>(READINGS, params);
  if (isCertain) return readings[0];
  if (readings.length === 0 && looksLikeDump) return 'unknown';
  if (readings.length === 0) {
    void warn(vscode.l10n.t('{0} has no lines of bytes in hex, so it is no dump.', nameOf(document.uri)));
    return undefined;
  }
  const items = readings.map((reading) => ({
    label: `${reading.title.charAt(0).toUpperCase()}${reading.title.slice(1)}`,
    detail:
      reading.line === undefined
        ? vscode.l10n.t('The first record would be {0}', reading.sample)
        : vscode.l10n.t('Line {0} holds {1}', reading.line, reading.sample),
    reading,
  }));
  const title =
    items.length === 1
      ? vscode.l10n.t('Is this its first record?')
      : vscode.l10n.t('This can be read in several ways. Which one is right?');
  return (await chooseOne(items, { title }))?.reading;
}
