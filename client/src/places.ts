import * as vscode from 'vscode';
import type { Place, Stretch } from '../../shared-core/src/protocol/common.js';
import { warn } from './ui.js';

export function toRange({ start, end }: Stretch): vscode.Range {
  return new vscode.Range(start.line, start.character, end.line, end.character);
}

/**
 * Goes to a place that was told of a while ago: to where its row is now, known by how it begins. Where no row or several
 * begin so, none is taken for it, and the person is told.
 */
export async function goToPlace(uri: vscode.Uri, place: Place, preserveFocus = false): Promise<void> {
  const document = await vscode.workspace.openTextDocument(uri);
  const row = rowNow(document, place);
  if (row === undefined) {
    void warn(
      vscode.l10n.t(
        '{0} has changed since this was shown, and the place is not found any more. Show it anew.',
        nameOf(uri),
      ),
    );
    return;
  }
  const { start, end } = place;
  await goTo(uri, { start: { ...start, line: row }, end: { ...end, line: row } }, preserveFocus);
}

function rowNow(document: vscode.TextDocument, { start, end, head }: Place): number | undefined {
  const isIt = (row: number) => {
    const { text } = document.lineAt(row);
    return text.startsWith(head) && text.length >= end.character;
  };
  if (start.line < document.lineCount && isIt(start.line)) return start.line;
  const [found, ...others] = Array.from({ length: document.lineCount }, (_, row) => row).filter(isIt);
  return others.length === 0 ? found : undefined;
}

/** Selects a place of a document where it is on the screen, as one side of a comparison too; else it is opened. */
export async function goTo(uri: vscode.Uri, stretch: Stretch, preserveFocus = false): Promise<void> {
  const range = toRange(stretch);
  const shown = vscode.window.visibleTextEditors.find(({ document }) => document.uri.toString() === uri.toString());
  if (shown === undefined) {
    const document = await vscode.workspace.openTextDocument(uri);
    await vscode.window.showTextDocument(document, {
      selection: range,
      preserveFocus,
      viewColumn: vscode.ViewColumn.One,
    });
    return;
  }
  shown.selection = new vscode.Selection(range.start, range.end);
  shown.revealRange(range, vscode.TextEditorRevealType.InCenterIfOutsideViewport);
  if (preserveFocus) return;
  // In a comparison, showing the document by itself would open it a second time.
  if (isInComparison(uri)) await vscode.commands.executeCommand('workbench.action.focusActiveEditorGroup');
  else
    await vscode.window.showTextDocument(shown.document, {
      viewColumn: shown.viewColumn ?? vscode.ViewColumn.Active,
      selection: range,
    });
}

function isInComparison(uri: vscode.Uri): boolean {
  const tab = vscode.window.tabGroups.activeTabGroup.activeTab;
  return tab?.input instanceof vscode.TabInputTextDiff && tab.input.modified.toString() === uri.toString();
}

/** The last part of the path of a file. */
export function nameOf(uri: vscode.Uri): string {
  return uri.path.split('/').at(-1) ?? '';
}
