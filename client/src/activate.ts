import type { ExtensionContext } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { registerCheckTasks } from './checkTask.js';
import { start } from './main.js';

/** One bundle for both kinds of editors: one in a browser runs extensions in a worker, which alone can import scripts. */
export async function activate(context: ExtensionContext): Promise<BaseLanguageClient> {
  const inBrowser = 'importScripts' in globalThis;
  const { createClient } = await (inBrowser ? import('./serverWorker.js') : import('./serverProcess.js'));
  if (!inBrowser) context.subscriptions.push(registerCheckTasks(context));
  return start(context, createClient);
}
