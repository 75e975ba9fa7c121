import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import {
  CLOSE_IMAGE,
  IMAGE_PAGE,
  type ImagePage,
  type ImagePageParams,
  OPEN_IMAGE,
  type OpenImageParams,
  type OpenImageResult,
} from '../../../shared-core/src/protocol/imageView.js';
import { LARGEST_FILE } from '../../../shared-core/src/workspace/index.js';
import { isRefusal } from '../ask.js';
import { IMAGE_ENDINGS } from '../forms.js';
import { nameOf } from '../places.js';
import { inform } from '../ui.js';
import { html } from './html.js';
import { answerOf, imageContent, LINES_ON_PAGE, type PageQuestion } from './largeImagePage.js';
import { type Page, pageHtml } from './page.js';

/** A memory image: what is wrong with it, its regions, and its bytes by address. */
export const imageView: Page<{ readonly uri: vscode.Uri; readonly image: OpenImageResult }> = {
  id: 'image',
  files: `*.{${IMAGE_ENDINGS.join(',')}}`,
  content: ({ uri, image }) => imageContent(uri, image),
};

export const IMAGE_VIEW = `countersum.${imageView.id}`;

/**
 * Memory images that are too large for the editor's language services (50 MB and more), or that are only to be looked
 * at, in an editor that shows them and changes nothing.
 */
export function registerLargeImage(client: BaseLanguageClient): vscode.Disposable {
  return vscode.Disposable.from(
    vscode.window.registerCustomEditorProvider(IMAGE_VIEW, createProvider(client), {
      supportsMultipleEditorsPerDocument: true,
    }),
    vscode.window.tabGroups.onDidChangeTabs(({ opened }) => {
      for (const { input, isActive } of opened)
        if (isActive && input instanceof vscode.TabInputText) void offerFor(input.uri);
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
  const message = vscode.l10n.t(
    'This image is too large to be checked as text. The read-only view checks it and shows its bytes.',
  );
  if ((await inform(message, 'openView')) === 'openView')
    await vscode.commands.executeCommand('vscode.openWith', uri, IMAGE_VIEW);
}

function createProvider(client: BaseLanguageClient): vscode.CustomReadonlyEditorProvider {
  let views = 0;
  return {
    openCustomDocument: (uri) => ({ uri, dispose: () => undefined }),
    resolveCustomEditor: ({ uri }, panel) => showImage(client, ++views, uri, panel),
  };
}

/** Fills a page with an image that the server reads, and has it read anew where a file that it shows has changed. */
async function showImage(
  client: BaseLanguageClient,
  view: number,
  uri: vscode.Uri,
  { webview, onDidDispose }: vscode.WebviewPanel,
): Promise<void> {
  webview.options = { enableScripts: true, localResourceRoots: [] };
  const title = nameOf(uri);
  let image: OpenImageResult | undefined;
  let others: readonly vscode.Disposable[] = [];
  let reading = new vscode.CancellationTokenSource();
  let isRead = false;
  const load = async (): Promise<void> => {
    // What changes while it is read is read again.
    reading.cancel();
    const own = new vscode.CancellationTokenSource();
    reading = own;
    isRead = false;
    const answer = await openImage(client, { uri: uri.toString(), view, linesOnPage: LINES_ON_PAGE }, own.token);
    if (own.token.isCancellationRequested) return;
    isRead = true;
    image = isRefusal(answer) ? undefined : answer;
    webview.html = pageHtml(
      isRefusal(answer)
        ? { title, body: html`<p role="alert">${answer.refused}</p>` }
        : imageView.content({ uri, image: answer }),
    );
    for (const watcher of others) watcher.dispose();
    others = (image?.checkedWith ?? []).map((file) => watch(vscode.Uri.parse(file), load));
  };
  const subscriptions = vscode.Disposable.from(
    watch(uri, load),
    webview.onDidReceiveMessage(async (message: PageQuestion) => {
      const shown = image;
      const page = shown && (await pageAt(client, view, message));
      if (page === null && isRead) await load();
      else if (page && shown === image) await webview.postMessage(answerOf(page));
    }),
    // A server that was started anew holds no view.
    client.onDidChangeState(() => {
      if (isRead && client.isRunning()) void load();
    }),
  );
  onDidDispose(() => {
    reading.cancel();
    isRead = false;
    vscode.Disposable.from(subscriptions, ...others).dispose();
    if (client.isRunning()) client.sendNotification(CLOSE_IMAGE, { view }).catch(() => undefined);
  });
  webview.html = pageHtml({ title, body: html`<p role="status">${vscode.l10n.t('Reading the image …')}</p>` });
  await load();
}

async function openImage(
  client: BaseLanguageClient,
  params: OpenImageParams,
  token: vscode.CancellationToken,
): Promise<OpenImageResult | Refusal> {
  try {
    return await client.sendRequest<OpenImageResult | Refusal>(OPEN_IMAGE, params, token);
  } catch (error) {
    const why = error instanceof Error ? error.message : '';
    return { refused: vscode.l10n.t('The language server did not read the image: {0}', why) };
  }
}

/** The page of the image that its script asks for; `null` where the server does not hold the view, or not yet again. */
async function pageAt(
  client: BaseLanguageClient,
  view: number,
  { page, address }: PageQuestion,
): Promise<ImagePage | null | undefined> {
  const at = typeof page === 'number' ? { page } : { address: String(address) };
  const params: ImagePageParams = { view, linesOnPage: LINES_ON_PAGE, at };
  // A server that is gone answers nothing; once it is there again, the image is read anew.
  return client.isRunning() ? client.sendRequest<ImagePage | null>(IMAGE_PAGE, params) : undefined;
}

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
