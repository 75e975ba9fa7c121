import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  codedFiles,
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

export interface FilesForServer extends vscode.Disposable {
  /** Whether a file was read for the server and is raw bytes. */
  readonly holdsRawBytes: (address: string) => boolean;
}

/** The server reads and lists files through the editor, which also reaches those that are on no disk. */
export function answerForFiles(client: Pick<BaseLanguageClient, 'onRequest'>): FilesForServer {
  const upToLargest: Host = { ...editorHost, open: (uri) => openFile(vscode.Uri.parse(uri), LARGEST_FILE) };
  const { open, codingOf } = codedFiles(upToLargest, utf8);
  const answered = vscode.Disposable.from(
    client.onRequest<ReadFileResult, void>(READ_FILE, ({ uri }: ReadFileParams) =>
      readFile(vscode.Uri.parse(uri), open),
    ),
    client.onRequest<ListFolderResult, void>(LIST_FOLDER, listFolder),
  );
  return { holdsRawBytes: (address) => codingOf(address)?.isBinary === true, dispose: () => answered.dispose() };
}

/** What shows in a text that it was made of bytes that are none, or are in another encoding. */
const NO_TEXT = /[^\P{Cc}\t\n\f\r]|\ufffd/u;

/** A file as the editor has it; what it shows of raw bytes as a text of its own is not what they are. */
async function readFile(target: vscode.Uri, openCoded: Host['open']): Promise<ReadFileResult> {
  const open = vscode.workspace.textDocuments.find((document) => document.uri.toString() === target.toString());
  const shown = open?.getText();
  if (open && shown !== undefined && (open.isDirty || !NO_TEXT.test(shown))) return { text: shown };
  const file = await openCoded(target.toString());
  if (!file.ok) return { why: file.why };
  if (file.value.size > LARGEST_FILE) return { why: tooLarge(LARGEST_FILE) };
  const { form, text } = file.value;
  // Editors leave the byte-order mark out of the text.
  return { text: text().replace(/^\ufeff/, ''), ...(form && { form: form.id }) };
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
  readsRawBytes: true,
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

const utf8 = {
  encode: (text: string) => new TextEncoder().encode(text),
  decode: (bytes: Uint8Array) => new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes),
};

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
