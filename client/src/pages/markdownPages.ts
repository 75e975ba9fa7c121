import * as vscode from 'vscode';

/** Of the addresses of pages that are computed, not kept: a plan, a job card, the record of a vehicle. */
const PAGE_SCHEME = 'countersum-page';

/**
 * Shows a page in Markdown as the editor renders it; a page of the same name gives way to it. Its links lead to files of the
 * folder, where one is given.
 */
export type ShowPage = (name: string, markdown: string, folder?: vscode.Uri) => Promise<vscode.Uri>;

export interface Pages extends vscode.Disposable {
  readonly show: ShowPage;
}

/** Pages are documents that lie on no disk, so that nothing is left behind when they are closed. */
export function createPages(): Pages {
  const texts = new Map<string, string>();
  const changed = new vscode.EventEmitter<vscode.Uri>();
  const folders = new Map<string, vscode.Uri>();
  /** What a link leads to: a file of the folder of a page, whose address the editor takes from that of the page. */
  const linked = async ({ path }: vscode.Uri): Promise<string> => {
    const [, above = '', name = ''] = /^(.*\/)([^/]+\.md)$/.exec(path) ?? [];
    const folder = folders.get(above);
    if (folder === undefined) return '';
    return new TextDecoder().decode(await vscode.workspace.fs.readFile(vscode.Uri.joinPath(folder, name)));
  };
  const provider = vscode.workspace.registerTextDocumentContentProvider(PAGE_SCHEME, {
    onDidChange: changed.event,
    provideTextDocumentContent: async (uri) => texts.get(uri.toString()) ?? (await linked(uri)),
  });
  return {
    // The title of the tab ends in ".md" too; without it, the name of a dump at its end would make the page a dump.
    show: async (name, markdown, folder) => {
      const above = folder === undefined ? '/' : `${folder.path.replace(/\/$/, '')}/`;
      if (folder !== undefined) folders.set(above, folder);
      const uri = vscode.Uri.from({ scheme: PAGE_SCHEME, path: `${above}${name.replace(/[/\\]/g, '-')}.md` });
      texts.set(uri.toString(), markdown);
      changed.fire(uri);
      await vscode.commands.executeCommand('markdown.showPreview', uri);
      return uri;
    },
    dispose: () => vscode.Disposable.from(changed, provider).dispose(),
  };
}
