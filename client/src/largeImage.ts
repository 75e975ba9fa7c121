import * as vscode from 'vscode';
import { DUMP_ENDINGS, LARGEST_FILE, type Phrase, say } from '../../shared-core/src/index.js';
import { type ImagePage, imagePage, readImage } from './largeImagePage.js';
import { escaped, pageHtml } from './page.js';

const VIEW = 'countersum.image';

/**
 * *Open Read-Only View*: memory images that are too large for the editor's language services (50 MB and more), or that
 * are only to be looked at: what is wrong with them, their regions, and their bytes by address.
 */
export function registerLargeImage(): vscode.Disposable {
  return vscode.Disposable.from(
    vscode.window.registerCustomEditorProvider(VIEW, provider, { supportsMultipleEditorsPerDocument: true }),
    vscode.commands.registerCommand('countersum.openImageView', async (chosen?: vscode.Uri) => {
      const uri = chosen ?? activeFile();
      if (uri) await vscode.commands.executeCommand('vscode.openWith', uri, VIEW);
    }),
    vscode.window.tabGroups.onDidChangeTabs(({ opened }) => {
      for (const { input } of opened) if (input instanceof vscode.TabInputText) void offerFor(input.uri);
    }),
  );
}

/** The file in the active tab; one that is too large for the editor is no active text. */
function activeFile(): vscode.Uri | undefined {
  const input = vscode.window.tabGroups.activeTabGroup.activeTab?.input;
  return input instanceof vscode.TabInputText ? input.uri : undefined;
}

/** Where a file too large for language services has been opened as text, nothing would be checked and nobody told. */
async function offerFor(uri: vscode.Uri): Promise<void> {
  const ending = uri.path.slice(uri.path.lastIndexOf('.') + 1).toLowerCase();
  if (ending === 'cfgdump' || !DUMP_ENDINGS.includes(ending)) return;
  try {
    if ((await vscode.workspace.fs.stat(uri)).size <= LARGEST_FILE) return;
  } catch {
    return;
  }
  const open = vscode.l10n.t('Open Read-Only View');
  const message = vscode.l10n.t(
    'This image is too large to be checked as text. The read-only view checks it and shows its bytes.',
  );
  if ((await vscode.window.showInformationMessage(message, open)) === open)
    await vscode.commands.executeCommand('vscode.openWith', uri, VIEW);
}

const provider: vscode.CustomReadonlyEditorProvider = {
  openCustomDocument: (uri) => ({ uri, dispose: () => undefined }),
  resolveCustomEditor: async ({ uri }, { webview, onDidDispose }) => {
    webview.options = { enableScripts: true, localResourceRoots: [] };
    const name = uri.path.split('/').at(-1) ?? '';
    let page: ImagePage | undefined;
    let others: readonly vscode.Disposable[] = [];
    let latest = 0;
    const load = async (): Promise<void> => {
      const turn = ++latest;
      const image = await readImage(uri);
      // What changed again meanwhile is being read again.
      if (turn !== latest) return;
      page = image.ok ? imagePage(uri, image.value) : undefined;
      webview.html = pageHtml(page?.content ?? { title: name, body: image.ok ? '' : refusal(image.why) });
      for (const watcher of others) watcher.dispose();
      others = image.ok ? image.value.checkedWith.map((file) => watch(vscode.Uri.parse(file), load)) : [];
    };
    const subscriptions = [
      watch(uri, load),
      webview.onDidReceiveMessage((message: unknown) => {
        const answer = page?.answer(message);
        if (answer !== undefined) void webview.postMessage(answer);
      }),
    ];
    onDidDispose(() => {
      latest++;
      vscode.Disposable.from(...subscriptions, ...others).dispose();
    });
    webview.html = pageHtml({ title: name, body: `<p role="status">${vscode.l10n.t('Reading the image …')}</p>` });
    await load();
  },
};

/** Calls back when a file appears, changes or goes. */
function watch(uri: vscode.Uri, changed: () => Promise<void>): vscode.Disposable {
  const name = uri.path.split('/').at(-1) ?? '';
  const watcher = vscode.workspace.createFileSystemWatcher(
    new vscode.RelativePattern(vscode.Uri.joinPath(uri, '..'), name),
  );
  watcher.onDidCreate(changed);
  watcher.onDidChange(changed);
  watcher.onDidDelete(changed);
  return watcher;
}

function refusal(why: Phrase): string {
  return `<p role="alert">${escaped(say(why, vscode.l10n.bundle ?? {}))}</p>`;
}
