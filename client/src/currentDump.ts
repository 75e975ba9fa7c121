import * as vscode from 'vscode';
import { isDump } from './activeDump.js';

/** The dump that side views and pages are about: the one a person was in last, while it is open. */
export interface CurrentDump extends vscode.Disposable {
  readonly document: () => vscode.TextDocument | undefined;
  /** Another dump, another version of it, or something else that explains it has changed. */
  readonly onDidChange: vscode.Event<void>;
  /** The cursor of the dump has moved. */
  readonly onDidMove: vscode.Event<vscode.Position>;
}

/** Typing changes a dump many times a second; what is shown beside it follows once it pauses. In milliseconds. */
const PAUSE = 120;

/** `onFiles` tells that files have changed by which dumps are explained. */
export function followCurrentDump(onFiles: vscode.Event<void>): CurrentDump {
  const changed = new vscode.EventEmitter<void>();
  const moved = new vscode.EventEmitter<vscode.Position>();
  let current: vscode.TextDocument | undefined;
  let waiting: ReturnType<typeof setTimeout> | undefined;

  const soon = (): void => {
    clearTimeout(waiting);
    waiting = setTimeout(() => changed.fire(), PAUSE);
  };
  const take = (document: vscode.TextDocument | undefined): void => {
    if (document === current) return;
    current = document;
    void vscode.commands.executeCommand('setContext', 'countersum.hasDump', document !== undefined);
    soon();
  };
  const enter = (editor: vscode.TextEditor | undefined): void => {
    if (editor && isDump(editor.document)) take(editor.document);
  };
  const isCurrent = (document: vscode.TextDocument): boolean => document === current;
  enter(vscode.window.activeTextEditor ?? vscode.window.visibleTextEditors.find(({ document }) => isDump(document)));

  const followed = vscode.Disposable.from(
    changed,
    moved,
    // What a changed profile says of a dump need not show in its problems.
    onFiles(soon),
    vscode.window.onDidChangeActiveTextEditor(enter),
    vscode.workspace.onDidChangeTextDocument(({ document }) => isCurrent(document) && soon()),
    // Problems change with the profile and the backup as well, which are documents of their own.
    vscode.languages.onDidChangeDiagnostics(({ uris }) => {
      if (uris.some((uri) => uri.toString() === current?.uri.toString())) soon();
    }),
    vscode.workspace.onDidOpenTextDocument((document) => {
      // A change of language closes a document and opens it again.
      if (document === vscode.window.activeTextEditor?.document) enter(vscode.window.activeTextEditor);
    }),
    // A document outlives the tab in which it was shown.
    vscode.window.tabGroups.onDidChangeTabs(({ closed }) => {
      if (closed.length > 0 && current !== undefined && !isInTab(current.uri)) take(undefined);
    }),
    vscode.window.onDidChangeTextEditorSelection(({ textEditor, selections: [first] }) => {
      if (first && isCurrent(textEditor.document)) moved.fire(placeIn(first));
    }),
  );
  return {
    document: () => current,
    onDidChange: changed.event,
    onDidMove: moved.event,
    dispose: () => {
      clearTimeout(waiting);
      followed.dispose();
    },
  };
}

/** The place that a selection is about: of a few digits the first one, as the cursor is behind the last. */
export function placeIn({ active, start, isSingleLine }: vscode.Selection): vscode.Position {
  return isSingleLine ? start : active;
}

function isInTab(uri: vscode.Uri): boolean {
  const shown = vscode.window.tabGroups.all.flatMap(({ tabs }) => tabs).map(({ input }) => input);
  return shown.some(
    (input) =>
      (input instanceof vscode.TabInputText && input.uri.toString() === uri.toString()) ||
      (input instanceof vscode.TabInputTextDiff && input.modified.toString() === uri.toString()),
  );
}
