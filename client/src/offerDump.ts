import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { READINGS, type ReadingsParams, type ReadingsResult } from '../../shared-core/src/protocol/raw.js';
import { isDump } from './activeDump.js';
import { BUTTONS } from './buttons.js';
import { nameOf } from './places.js';
import { headersFile, isThere } from './rawPair.js';
import { createOffers } from './treatedAs.js';
import { inform, tellPlace } from './ui.js';

/** Longer texts are looked at only when a person says that they are dumps. */
const MOST = 1 << 20;

/** Some lines that come at once are pasted, not typed. */
const LINES = /(?:\n[^\n]*){3}/;

function writtenAs(uri: vscode.Uri, title: string): string {
  return vscode.l10n.t('{0} is written as {1}.', nameOf(uri), title);
}

export function looksLikeDump(uri: vscode.Uri): string {
  return vscode.l10n.t('{0} looks like a dump.', nameOf(uri));
}

/** Above the first line of a text that looks like a dump. */
function lensOf(uri: vscode.Uri): vscode.CodeLens {
  const title = vscode.l10n.t('This looks like a dump: {0}', BUTTONS.treatAsDump());
  const command = { title, command: 'countersum.treatAsDump', arguments: [uri] };
  return new vscode.CodeLens(new vscode.Range(0, 0, 0, 0), command);
}

export interface DumpOffers extends vscode.Disposable {
  /** The text in front where it looks like a dump and is treated as none yet. */
  readonly inFront: () => vscode.Uri | undefined;
  readonly onDidChange: vscode.Event<void>;
}

/** Offers once for a file that is a dump for sure, whatever it is called, to treat it as one. Whoever looks away has declined. */
export function offerDumps(
  client: Pick<BaseLanguageClient, 'sendRequest'>,
  kept: Pick<vscode.Memento, 'get' | 'update'>,
): DumpOffers {
  const { isFirst, isOffered } = createOffers(kept);
  // The offer stays above the text until it is taken; a notice could not be closed then.
  const offered = new WeakSet<vscode.TextDocument>();
  const changed = new vscode.EventEmitter<void>();
  const offer = (document: vscode.TextDocument, says: string): void => {
    offered.add(document);
    changed.fire();
    tellPlace(says);
  };
  const offerPasted = ({ document, contentChanges }: vscode.TextDocumentChangeEvent): void => {
    if (contentChanges.some(({ text }) => text.length < MOST && LINES.test(text))) void offerNew(document);
  };
  const offerNew = async (document: vscode.TextDocument): Promise<void> => {
    // Of a new text the editor guesses a language, any of which lines of hex may be taken for.
    if (!document.isUntitled || isDump(document) || offered.has(document)) return;
    const params: ReadingsParams = { text: document.getText() };
    if (params.text.length > MOST) return;
    const { isCertain, readings, looksLikeDump: isLike } = await client.sendRequest<ReadingsResult>(READINGS, params);
    const [reading] = readings;
    const known = isCertain ? reading : undefined;
    if ((known === undefined && !isLike) || document.isClosed || isDump(document) || offered.has(document)) return;
    offer(document, known === undefined ? looksLikeDump(document.uri) : writtenAs(document.uri, known.title));
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
    offer(document, writtenAs(document.uri, reading.title));
  };
  const offerRaw = async (uri: vscode.Uri): Promise<void> => {
    if (vscode.workspace.getWorkspaceFolder(uri) === undefined || !(await isThere(headersFile(uri)))) return;
    if (!isFirst(uri)) return;
    const message = vscode.l10n.t('{0} has the headers of a dump beside it. Open its bytes as dump text?', nameOf(uri));
    if ((await inform(message, 'openDumpText')) === 'openDumpText')
      await vscode.commands.executeCommand('countersum.openAsDumpText', uri);
  };
  const isOpen = (document: vscode.TextDocument) => offered.has(document) && !isDump(document);
  const inFront = (): vscode.Uri | undefined => {
    const document = vscode.window.activeTextEditor?.document;
    return document !== undefined && isOpen(document) ? document.uri : undefined;
  };
  void offerText(vscode.window.activeTextEditor);
  // What was pasted before the extension began.
  for (const document of vscode.workspace.textDocuments) if (LINES.test(document.getText())) void offerNew(document);
  const disposable = vscode.Disposable.from(
    changed,
    vscode.languages.registerCodeLensProvider([{ language: 'plaintext' }, { scheme: 'untitled' }], {
      onDidChangeCodeLenses: changed.event,
      provideCodeLenses: (document) => (isOpen(document) ? [lensOf(document.uri)] : []),
    }),
    vscode.window.onDidChangeActiveTextEditor((editor) => {
      changed.fire();
      void offerText(editor);
    }),
    // A change of language closes a document and opens it again.
    vscode.workspace.onDidOpenTextDocument(() => changed.fire()),
    vscode.workspace.onDidChangeTextDocument(offerPasted),
    vscode.window.tabGroups.onDidChangeTabs(({ opened }) => {
      for (const { input, isActive } of opened)
        if (isActive && input instanceof vscode.TabInputText) void offerRaw(input.uri);
    }),
  );
  return { inFront, onDidChange: changed.event, dispose: () => disposable.dispose() };
}
