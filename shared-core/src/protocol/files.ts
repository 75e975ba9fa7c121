/** Server to client: the text of a file, for editors whose files do not lie on a disk. Offered by `InitializationOptions.reads`. */
export const READ_FILE = 'countersum/readFile';
export interface ReadFileParams {
  readonly uri: string;
}
/** `null` where there is no such file. */
export type ReadFileResult = string | null;

/** Files above this size are left to the command line: 50 MB, where the editor stops handing texts to extensions. */
export const LARGEST_FILE = 50 * 1024 * 1024;

/** Server to client: the dumps, profiles and retrofits of the workspace. Offered by `InitializationOptions.lists`. */
export const LIST_FILES = 'countersum/listFiles';
/** A folder with more files of ours than these was opened by mistake; more are not listed. */
export const MOST_FILES = 5000;
/** Addresses. */
export type ListFilesResult = readonly string[];
