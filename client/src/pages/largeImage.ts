import * as vscode from 'vscode';
import { LARGEST_FILE, type Phrase, say } from '../../../shared-core/src/index.js';
import { IMAGE_ENDINGS } from '../activeDump.js';
import { inform } from '../ui.js';
import { type Html, html } from './html.js';
import { type ImagePage, imagePage, readImage } from './largeImagePage.js';
import { type Page, pageHtml } from './page.js';

/** A memory image: what is wrong with it, its regions, and its bytes by address. */
export const imageView: Page<ImagePage> = {
  id: 'image',
  files: `*.{${IMAGE_ENDINGS.join(',')}}`,
  content: ({ content }) => content,
};

export const IMAGE_VIEW = `countersum.${imageView.id}`;

/**
 * Memory images that are too large for the editor's language services (50 MB and more), or that are only to be looked
 * at, in an editor that shows them and changes nothing.
 */
export function registerLargeImage(): vscode.Disposable {
  return vscode.Disposable.from(
    vscode.window.registerCustomEditorProvider(IMAGE_VIEW, provider, { supportsMultipleEditorsPerDocument: true }),
    vscode.window.tabGroups.onDidChangeTabs(({ opened }) => {
      for (const { input } of opened) if (input instanceof vscode.TabInputText) void offerFor(input.uri);
    }),
  );
}

/** Where a file too large for language services has been opened as text, nothing would be checked and nobody told. */
async function offerFor(uri: vscode.Uri): Promise<void> {
  const ending = uri.path.slice(uri.path.lastIndexOf('.') + 1).toLowerCase();
  if (!IMAGE_ENDINGS.includes(ending)) return;
  try {
    if ((await vscode.workspace.fs.stat(uri)).size <= LARGEST_FILE) return;
  } catch {
    return;
  }
  const open = vscode.l10n.t('Open Read-Only View');
  const message = vscode.l10n.t(
    'This image is too large to be checked as text. The read-only view checks it and shows its bytes.',
  );
  if ((await inform(message, open)) === open) await vscode.commands.executeCommand('vscode.openWith', uri, IMAGE_VIEW);
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
      webview.html = pageHtml(
        page === undefined ? { title: name, body: image.ok ? html`` : refusal(image.why) } : imageView.content(page),
      );
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
    webview.html = pageHtml({ title: name, body: html`<p role="status">${vscode.l10n.t('Reading the image …')}</p>` });
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

function refusal(why: Phrase): Html {
  return html`<p role="alert">${say(why, vscode.l10n.bundle ?? {})}</p>`;
}
