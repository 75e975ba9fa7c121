import type { Phrase } from '../base/phrase.js';
import type { FolderEntry } from '../workspace/host.js';

/** Server to client: the text of a file, for editors whose files are on no disk. Offered by `InitializationOptions.reads`. */
export const READ_FILE = 'countersum/readFile';
export interface ReadFileParams {
  readonly uri: string;
}
/** Text as the editor has it, or the bytes of what is no text in UTF-8. */
export type ReadFileResult = { readonly text: string } | { readonly base64: string } | { readonly why: Phrase };

/** Server to client: what is in a folder that is on no disk. Offered by `InitializationOptions.lists`. */
export const LIST_FOLDER = 'countersum/listFolder';
export interface ListFolderParams {
  readonly uri: string;
}
export type ListFolderResult = { readonly entries: readonly FolderEntry[] } | { readonly why: Phrase };

/**
 * Server to client: opens a file as it is saved, of any size, to be read in pieces that are all of one state. Offered by
 * `InitializationOptions.pieces`.
 */
export const OPEN_FILE = 'countersum/openFile';
export interface OpenFileParams {
  readonly uri: string;
}
export type OpenFileResult = { readonly file: number; readonly size: number } | { readonly why: Phrase };

/** Server to client: some bytes of an open file. */
export const READ_PIECE = 'countersum/readPiece';
export interface ReadPieceParams {
  readonly file: number;
  readonly from: number;
  readonly count: number;
}
export interface ReadPieceResult {
  readonly base64: string;
}

/** Server to client, a notification: no more is read of an open file. */
export const CLOSE_FILE = 'countersum/closeFile';
export interface CloseFileParams {
  readonly file: number;
}

/** What a person tells a dump by, each empty where it does not say so: its vehicle, when it was read, its module. */
export interface DumpWords {
  readonly vehicle: string;
  readonly taken: string;
  readonly module: string;
}

/** Client to server: the files of ours in the folders that are open, as they are now. */
export const LIST_FILES = 'countersum/listFiles';
export interface ListFilesResult {
  readonly dumps: readonly ({ readonly uri: string } & DumpWords)[];
  readonly retrofits: readonly { readonly uri: string; readonly title: string }[];
  /** Why some folders could not be looked through. */
  readonly unlisted: readonly string[];
}
