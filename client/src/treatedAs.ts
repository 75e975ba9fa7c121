import * as vscode from 'vscode';
import { fileUri } from './rawUri.js';

/** How the editor calls the setting that gives files of some names a language. */
const ASSOCIATIONS = 'associations';

/**
 * Remembers in the settings of the open folder what language a file is of, so that the editor itself opens it so, and a
 * person sees it there and can take it back. False where it is in no folder that is open, or that cannot be written.
 */
export async function rememberLanguage(uri: vscode.Uri, language: string): Promise<boolean> {
  const folder = vscode.workspace.getWorkspaceFolder(uri);
  if (folder === undefined) return false;
  const files = vscode.workspace.getConfiguration('files', folder.uri);
  const own = files.inspect<Readonly<Record<string, string>>>(ASSOCIATIONS)?.workspaceValue;
  try {
    // The editor keeps it for all folders that are open together, and in the settings of the folder where that is one.
    const target = vscode.ConfigurationTarget.Workspace;
    await files.update(ASSOCIATIONS, { ...own, [patternOf(folder.uri, uri)]: language }, target);
    return true;
  } catch {
    return false;
  }
}

/** The path from the folder on, and the folder's own name before it: other files of that name are not meant. */
function patternOf(folder: vscode.Uri, file: vscode.Uri): string {
  const above = folder.path.replace(/[^/]*\/?$/, '').length;
  return `**/${file.path.slice(above).replace(/[[\]{}*?]/g, '?')}`;
}

/** What was offered for files, so that nothing is offered twice. */
export interface Offers {
  readonly isOffered: (uri: vscode.Uri) => boolean;
  /** Whether something is to be offered now: the first time that this is asked of a file. */
  readonly isFirst: (uri: vscode.Uri) => boolean;
}

const OFFERED = 'offered';
const MOST = 500;

export function createOffers(kept: Pick<vscode.Memento, 'get' | 'update'>): Offers {
  const offered = () => kept.get<readonly string[]>(OFFERED, []);
  const isOffered = (uri: vscode.Uri) => offered().includes(fileUri(uri).toString());
  return {
    isOffered,
    isFirst: (uri) => {
      if (isOffered(uri)) return false;
      void kept.update(OFFERED, [...offered().slice(1 - MOST), fileUri(uri).toString()]);
      return true;
    },
  };
}
