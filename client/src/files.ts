import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  base64Of,
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
  RAW_FILE,
  type RawFileParams,
  READ_FILE,
  type ReadFileParams,
  type ReadFileResult,
  type Result,
  reasonOf,
  refuse,
  say,
  tooLarge,
} from '../../shared-core/src/index.js';
import { isText, textIn } from './textOrBytes.js';
import { warn } from './ui.js';

export interface FilesForServer extends vscode.Disposable {
  /** Whether a file was read for the server and is raw bytes. */
  readonly holdsRawBytes: (address: string) => boolean;
}

/** The server reads and lists files through the editor, which also reaches those that are on no disk. */
export function answerForFiles(client: Pick<BaseLanguageClient, 'onRequest' | 'onNotification'>): FilesForServer {
  const raw = new Set<string>();
  const answered = vscode.Disposable.from(
    client.onRequest<ReadFileResult, void>(READ_FILE, readFile),
    client.onRequest<ListFolderResult, void>(LIST_FOLDER, listFolder),
    client.onNotification(RAW_FILE, ({ uri }: RawFileParams) => void raw.add(vscode.Uri.parse(uri).toString())),
  );
  return { holdsRawBytes: (address) => raw.has(address), dispose: () => answered.dispose() };
}

/** A file as the editor has it; what it shows of raw bytes as a text of its own is not what they are. */
async function readFile({ uri }: ReadFileParams): Promise<ReadFileResult> {
  const target = vscode.Uri.parse(uri);
  const open = vscode.workspace.textDocuments.find((document) => document.uri.toString() === target.toString());
  const shown = open?.getText();
  if (open && shown !== undefined && (open.isDirty || isText(shown))) return { text: shown };
  const bytes = await bytesOf(target, LARGEST_FILE);
  if (!bytes.ok) return { why: bytes.why };
  const text = textIn(bytes.value);
  return text === undefined ? { base64: base64Of(bytes.value) } : { text };
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

async function openFile(uri: vscode.Uri): Promise<Result<OpenFile>> {
  const bytes = await bytesOf(uri, Number.POSITIVE_INFINITY);
  return bytes.ok ? done(fileOfBytes(bytes.value, utf8)) : bytes;
}

/** All bytes of a regular file that has no more than so many. */
async function bytesOf(uri: vscode.Uri, most: number): Promise<Result<Uint8Array>> {
  const status = await attempt(async () => vscode.workspace.fs.stat(uri));
  if (!status.ok) return status;
  const type = typeOf(status.value.type);
  if (type !== 'file') return refuse(type === 'folder' ? reasonOf('EISDIR') : NOT_REGULAR);
  if (status.value.size > most) return refuse(tooLarge(most));
  return attempt(async () => vscode.workspace.fs.readFile(uri));
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
