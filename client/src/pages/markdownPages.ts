import * as vscode from 'vscode';

/** Of the addresses of pages that are computed, not kept: a plan, a job card, the record of a vehicle. */
const PAGE_SCHEME = 'countersum-page';

/** Shows a page in Markdown as the editor renders it; a page of the same name gives way to it. */
export type ShowPage = (name: string, markdown: string) => Promise<vscode.Uri>;

export interface Pages extends vscode.Disposable {
  readonly show: ShowPage;
}

/** Pages are documents that lie on no disk, so that nothing is left behind when they are closed. */
export function createPages(): Pages {
  const texts = new Map<string, string>();
  const changed = new vscode.EventEmitter<vscode.Uri>();
  const provider = vscode.workspace.registerTextDocumentContentProvider(PAGE_SCHEME, {
    onDidChange: changed.event,
    provideTextDocumentContent: (uri) => texts.get(uri.toString()) ?? '',
  });
  return {
    // The editor puts the last part of the address into the title of the tab: the name alone, without an ending.
    show: async (name, markdown) => {
      const uri = vscode.Uri.from({ scheme: PAGE_SCHEME, path: `/${name.replace(/[/\\]/g, '-')}` });
      texts.set(uri.toString(), markdown);
      changed.fire(uri);
      await vscode.commands.executeCommand('markdown.showPreview', uri);
      return uri;
    },
    dispose: () => vscode.Disposable.from(changed, provider).dispose(),
  };
}
