import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { base64Of, done, type Phrase, type Result, refuse } from '../../shared-core/src/base/index.js';
import {
  CLOSE_FILE,
  type CloseFileParams,
  LIST_FILES,
  LIST_FOLDER,
  type ListFilesResult,
  type ListFolderParams,
  type ListFolderResult,
  OPEN_FILE,
  type OpenFileParams,
  type OpenFileResult,
  READ_FILE,
  READ_PIECE,
  type ReadFileParams,
  type ReadFileResult,
  type ReadPieceParams,
  type ReadPieceResult,
} from '../../shared-core/src/protocol/files.js';
import { RAW_FILE, type RawFileParams } from '../../shared-core/src/protocol/raw.js';
import { type FileType, LARGEST_FILE, NOT_REGULAR, reasonOf, tooLarge } from '../../shared-core/src/workspace/index.js';
import { isText, textIn } from './textOrBytes.js';
import type { Asking } from './ui.js';

export interface FilesForServer extends vscode.Disposable {
  /** Whether a file was read for the server and is raw bytes. */
  readonly holdsRawBytes: (address: string) => boolean;
}

/** The server reads and lists files through the editor, which also reaches those that are on no disk. */
export function answerForFiles(client: BaseLanguageClient): FilesForServer {
  const raw = new Set<string>();
  const answered = vscode.Disposable.from(
    client.onRequest<ReadFileResult, void>(READ_FILE, readFile),
    client.onRequest<ListFolderResult, void>(LIST_FOLDER, listFolder),
    answerInPieces(client),
    client.onNotification(RAW_FILE, ({ uri, isRaw }: RawFileParams) => {
      const address = vscode.Uri.parse(uri).toString();
      if (isRaw) raw.add(address);
      else raw.delete(address);
    }),
  );
  return { holdsRawBytes: (address) => raw.has(address), dispose: () => answered.dispose() };
}

/** Files that the server reads in pieces, each as it was when it was opened. */
function answerInPieces(client: BaseLanguageClient): vscode.Disposable {
  const open = new Map<number, Uint8Array>();
  let opened = 0;
  return vscode.Disposable.from(
    client.onRequest<OpenFileResult, void>(OPEN_FILE, async ({ uri }: OpenFileParams) => {
      const bytes = await bytesOf(vscode.Uri.parse(uri), Number.POSITIVE_INFINITY);
      if (!bytes.ok) return { why: bytes.why };
      open.set(++opened, bytes.value);
      return { file: opened, size: bytes.value.length };
    }),
    client.onRequest<ReadPieceResult, void>(READ_PIECE, ({ file, from, count }: ReadPieceParams) => ({
      base64: base64Of(open.get(file)?.subarray(from, from + count) ?? new Uint8Array(0)),
    })),
    client.onNotification(CLOSE_FILE, ({ file }: CloseFileParams) => void open.delete(file)),
    // A server that is gone closes nothing.
    client.onDidChangeState(() => {
      if (!client.isRunning()) open.clear();
    }),
  );
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
  const entries = await attempt(async () => vscode.workspace.fs.readDirectory(vscode.Uri.parse(uri)));
  if (!entries.ok) return { why: entries.why };
  // A link is marked beside what it leads to; walks do not follow it.
  const kindOf = (type: vscode.FileType) => (type & vscode.FileType.SymbolicLink ? 'other' : typeOf(type));
  return { entries: entries.value.map(([name, type]) => ({ name, type: kindOf(type) })) };
}

/** The files of ours in the folders that are open. */
export function listFiles(client: BaseLanguageClient): Promise<ListFilesResult> {
  return client.sendRequest<ListFilesResult>(LIST_FILES);
}

/** What is said above a list of files of which some may be missing, as not all could be looked through. */
export function missingOf({ unlisted }: Pick<ListFilesResult, 'unlisted'>): Pick<Asking<never>, 'placeHolder'> {
  return unlisted.length === 0 ? {} : { placeHolder: unlisted.join(' ') };
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
