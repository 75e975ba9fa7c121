import * as vscode from 'vscode';

/** The file in the active tab, whatever editor shows it: one that is no text is no active text editor. */
export function activeFile(): vscode.Uri | undefined {
  const input = vscode.window.tabGroups.activeTabGroup.activeTab?.input;
  return input instanceof vscode.TabInputText || input instanceof vscode.TabInputCustom ? input.uri : undefined;
}
