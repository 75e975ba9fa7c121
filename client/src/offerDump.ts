import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { READINGS, type ReadingsParams, type ReadingsResult } from '../../shared-core/src/index.js';
import { BUTTONS } from './buttons.js';
import { nameOf } from './places.js';
import { headersFile, isThere } from './rawPair.js';
import { createOffers } from './treatedAs.js';
import { inform } from './ui.js';

/** Longer texts are looked at only when a person says that they are dumps. */
const MOST = 1 << 20;

/** Some lines that come at once are pasted, not typed. */
const LINES = /(?:\n[^\n]*){3}/;

function writtenAs(uri: vscode.Uri, title: string): string {
  return vscode.l10n.t('{0} is written as {1}. Treat it as a dump, with checks and repairs?', nameOf(uri), title);
}

/** Above the first line of a text that looks like a dump. */
function lensOf(uri: vscode.Uri): vscode.CodeLens {
  const title = vscode.l10n.t('This looks like a dump: {0}', BUTTONS.treatAsDump());
  const command = { title, command: 'countersum.treatAsDump', arguments: [uri] };
  return new vscode.CodeLens(new vscode.Range(0, 0, 0, 0), command);
}

/** Offers once for a file that is a dump for sure, whatever it is called, to treat it as one. Whoever looks away has declined. */
export function offerDumps(
  client: Pick<BaseLanguageClient, 'sendRequest'>,
  kept: Pick<vscode.Memento, 'get' | 'update'>,
): vscode.Disposable {
  const { isFirst, isOffered } = createOffers(kept);
  // A text that is in no file is offered while it is open: another one may get its name.
  const pasted = new WeakSet<vscode.TextDocument>();
  const foundPasted = new vscode.EventEmitter<void>();
  const offerPasted = async ({ document, contentChanges }: vscode.TextDocumentChangeEvent): Promise<void> => {
    if (!document.isUntitled || document.languageId !== 'plaintext' || pasted.has(document)) return;
    if (!contentChanges.some(({ text }) => text.length < MOST && LINES.test(text))) return;
    const params: ReadingsParams = { text: document.getText() };
    if (params.text.length > MOST) return;
    const { isCertain, readings, looksLikeDump } = await client.sendRequest<ReadingsResult>(READINGS, params);
    const [reading] = readings;
    const known = isCertain ? reading : undefined;
    if (
      (known === undefined && !looksLikeDump) ||
      document.isClosed ||
      document.languageId !== 'plaintext' ||
      pasted.has(document)
    )
      return;
    pasted.add(document);
    foundPasted.fire();
    const message =
      known === undefined
        ? vscode.l10n.t('{0} looks like a dump. Treat it as one, with checks and repairs?', nameOf(document.uri))
        : writtenAs(document.uri, known.title);
    if ((await inform(message, 'treatAsDump')) === 'treatAsDump')
      await vscode.commands.executeCommand('countersum.treatAsDump', document.uri);
  };
  const offerText = async (editor: vscode.TextEditor | undefined): Promise<void> => {
    const document = editor?.document;
    if (document?.languageId !== 'plaintext' || document.lineCount * 8 > MOST) return;
    if (vscode.workspace.getWorkspaceFolder(document.uri) === undefined) return;
    const params: ReadingsParams = { text: document.getText() };
    if (isOffered(document.uri) || params.text.length > MOST) return;
    const { isCertain, readings } = await client.sendRequest<ReadingsResult>(READINGS, params);
    const [reading] = readings;
    if (!isCertain || reading === undefined || !isFirst(document.uri)) return;
    if ((await inform(writtenAs(document.uri, reading.title), 'treatAsDump')) === 'treatAsDump')
      await vscode.commands.executeCommand('countersum.treatAsDump', document.uri);
  };
  const offerRaw = async (uri: vscode.Uri): Promise<void> => {
    if (vscode.workspace.getWorkspaceFolder(uri) === undefined || !(await isThere(headersFile(uri)))) return;
    if (!isFirst(uri)) return;
    const message = vscode.l10n.t('{0} has the headers of a dump beside it. Open its bytes as dump text?', nameOf(uri));
    if ((await inform(message, 'openDumpText')) === 'openDumpText')
      await vscode.commands.executeCommand('countersum.openAsDumpText', uri);
  };
  void offerText(vscode.window.activeTextEditor);
  return vscode.Disposable.from(
    foundPasted,
    // The notice goes away: above the text the offer stays until it is taken.
    vscode.languages.registerCodeLensProvider(
      { scheme: 'untitled', language: 'plaintext' },
      {
        onDidChangeCodeLenses: foundPasted.event,
        provideCodeLenses: (document) => (pasted.has(document) ? [lensOf(document.uri)] : []),
      },
    ),
    vscode.window.onDidChangeActiveTextEditor(offerText),
    vscode.workspace.onDidChangeTextDocument(offerPasted),
    vscode.window.tabGroups.onDidChangeTabs(({ opened }) => {
      for (const { input, isActive } of opened)
        if (isActive && input instanceof vscode.TabInputText) void offerRaw(input.uri);
    }),
  );
}
