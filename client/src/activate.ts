import type { ExtensionContext } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { start } from './main.js';

/** One bundle for both kinds of editors: one in a browser runs extensions in a worker, which alone can import scripts. */
export async function activate(context: ExtensionContext): Promise<BaseLanguageClient> {
  const inBrowser = 'importScripts' in globalThis;
  const { createClient } = await (inBrowser ? import('./serverWorker.js') : import('./serverProcess.js'));
  return start(context, createClient);
}
