import * as vscode from 'vscode';
import { literal } from '../../shared-core/src/base/index.js';

/** Runs a search of the server with a notice from which it can be cancelled; undefined where it was. */
export async function searching<T>(
  title: string,
  search: (token: vscode.CancellationToken) => Promise<T>,
): Promise<T | undefined> {
  const options = { location: vscode.ProgressLocation.Notification, title: literal(title), cancellable: true };
  return vscode.window.withProgress(options, async (_, token) => {
    try {
      return await search(token);
    } catch (error) {
      if (token.isCancellationRequested) return undefined;
      throw error;
    }
  });
}
