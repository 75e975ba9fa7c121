import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  isPassedOver,
  kindOf,
  LARGEST_FILE,
  LIST_FILES,
  type ListFilesResult,
  MOST_FILES,
  OUR_FILES,
  READ_FILE,
  type ReadFileParams,
  type ReadFileResult,
} from '../../shared-core/src/index.js';

/** The server reads and lists files through the editor, which also reaches those that lie on no disk. */
export function answerForFiles(client: BaseLanguageClient): vscode.Disposable {
  return vscode.Disposable.from(client.onRequest(READ_FILE, readFile), client.onRequest(LIST_FILES, listFiles));
}

async function readFile({ uri }: ReadFileParams): Promise<ReadFileResult> {
  const target = vscode.Uri.parse(uri);
  const open = vscode.workspace.textDocuments.find((document) => document.uri.toString() === target.toString());
  if (open) return open.getText();
  try {
    if ((await vscode.workspace.fs.stat(target)).size > LARGEST_FILE) return null;
    return new TextDecoder().decode(await vscode.workspace.fs.readFile(target));
  } catch {
    return null;
  }
}

/** Where the editor's search reaches. In other folders it may wait for a searcher that never comes. */
const SEARCHED = new Set(['file', 'vscode-remote']);

/** The addresses of the files of ours in the folders that are open. */
export async function listFiles(): Promise<ListFilesResult> {
  const folders = vscode.workspace.workspaceFolders ?? [];
  const found: vscode.Uri[] = [];
  for (const { uri } of folders) if (!SEARCHED.has(uri.scheme)) await walk(uri, found);
  if (folders.some(({ uri }) => SEARCHED.has(uri.scheme)))
    found.push(...(await vscode.workspace.findFiles(OUR_FILES, '**/node_modules/**', MOST_FILES)));
  return found.map((uri) => uri.toString());
}

/** Each folder that lies on no disk may cost a request over a network: a tree with more of them is not ours to search. */
const MOST_FOLDERS = 500;

/** The files of ours below a folder, those in the folders nearest to it first. */
async function walk(top: vscode.Uri, found: vscode.Uri[]): Promise<void> {
  const folders = [top];
  for (let next = 0; next < Math.min(folders.length, MOST_FOLDERS); next++) {
    const folder = folders[next] as vscode.Uri;
    for (const [name, type] of await entriesOf(folder)) {
      if (found.length >= MOST_FILES) return;
      const uri = vscode.Uri.joinPath(folder, name);
      if (type === vscode.FileType.Directory && !isPassedOver(name)) folders.push(uri);
      else if (type === vscode.FileType.File && kindOf(name) !== undefined) found.push(uri);
    }
  }
}

async function entriesOf(folder: vscode.Uri): Promise<readonly [string, vscode.FileType][]> {
  try {
    return await vscode.workspace.fs.readDirectory(folder);
  } catch {
    return [];
  }
}
