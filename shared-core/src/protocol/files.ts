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
