import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  done,
  type FileList,
  type FileType,
  fileOfBytes,
  type Host,
  LARGEST_FILE,
  LIST_FOLDER,
  type ListFolderParams,
  type ListFolderResult,
  listFiles as listIn,
  NOT_REGULAR,
  type OpenFile,
  type Phrase,
  READ_FILE,
  type ReadFileParams,
  type ReadFileResult,
  type Result,
  reasonOf,
  refuse,
  say,
  tooLarge,
} from '../../shared-core/src/index.js';
import { warn } from './ui.js';

/** The server reads and lists files through the editor, which also reaches those that are on no disk. */
export function answerForFiles(client: BaseLanguageClient): vscode.Disposable {
  return vscode.Disposable.from(
    client.onRequest<ReadFileResult, void>(READ_FILE, readFile),
    client.onRequest<ListFolderResult, void>(LIST_FOLDER, listFolder),
  );
}

async function readFile({ uri }: ReadFileParams): Promise<ReadFileResult> {
  const target = vscode.Uri.parse(uri);
  const open = vscode.workspace.textDocuments.find((document) => document.uri.toString() === target.toString());
  if (open) return { text: open.getText() };
  const file = await openFile(target, LARGEST_FILE);
  // Editors leave the byte-order mark out of the text.
  return file.ok ? { text: file.value.text().replace(/^\ufeff/, '') } : { why: file.why };
}

async function listFolder({ uri }: ListFolderParams): Promise<ListFolderResult> {
  const entries = await editorHost.list(uri);
  return entries.ok ? { entries: entries.value } : { why: entries.why };
}

/** The files of ours in the folders that are open. What could not be looked through is said: files to choose may be missing. */
export async function listFiles(): Promise<FileList> {
  const folders = (vscode.workspace.workspaceFolders ?? []).map(({ uri }) => uri.toString());
  const list = await listIn(editorHost, folders);
  if (list.unlisted.length > 0) void warn(list.unlisted.map((why) => say(why, vscode.l10n.bundle)).join(' '));
  return list;
}

/** Files as the editor has them on its disks and elsewhere, not yet saved changes aside. */
export const editorHost: Host = {
  kindAt: async (uri) => attempt(async () => typeOf((await vscode.workspace.fs.stat(vscode.Uri.parse(uri))).type)),
  identity: async () => undefined,
  open: (uri) => openFile(vscode.Uri.parse(uri)),
  list: async (folder) =>
    attempt(async () => {
      const entries = await vscode.workspace.fs.readDirectory(vscode.Uri.parse(folder));
      // A link is marked beside what it leads to; walks do not follow it.
      return entries.map(([name, type]) => ({
        name,
        type: type & vscode.FileType.SymbolicLink ? 'other' : typeOf(type),
      }));
    }),
};

async function openFile(uri: vscode.Uri, most = Number.POSITIVE_INFINITY): Promise<Result<OpenFile>> {
  const status = await attempt(async () => vscode.workspace.fs.stat(uri));
  if (!status.ok) return status;
  const type = typeOf(status.value.type);
  if (type !== 'file') return refuse(type === 'folder' ? reasonOf('EISDIR') : NOT_REGULAR);
  if (status.value.size > most) return refuse(tooLarge(most));
  const bytes = await attempt(async () => vscode.workspace.fs.readFile(uri));
  return bytes.ok ? done(fileOfBytes(bytes.value, utf8)) : bytes;
}

const utf8 = { decode: (bytes: Uint8Array) => new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes) };

function typeOf(type: vscode.FileType): FileType {
  return type & vscode.FileType.File ? 'file' : type & vscode.FileType.Directory ? 'folder' : 'other';
}

async function attempt<T>(use: () => Promise<T>): Promise<Result<T>> {
  try {
    return done(await use());
  } catch (error) {
    return refuse(whyNot(error));
  }
}

function whyNot(error: unknown): Phrase {
  if (!(error instanceof vscode.FileSystemError)) return reasonOf(String(error));
  return reasonOf(error.code === 'Unknown' ? error.message : error.code);
}
