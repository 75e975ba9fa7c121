import type { Result } from '../base/result.js';
import type { WrittenForm } from '../format/notation.js';
import type { RawBytes } from '../format/rawBytes.js';

/** The way to files: a disk, an editor, a memory. Files and folders are addresses (URIs); every refusal is a few words that go behind a colon. */
export interface Host {
  /** What is at an address; links are followed. */
  readonly kindAt: (uri: string) => Promise<Result<FileType>>;
  /** The same for two addresses of one file; undefined where that cannot be told. */
  readonly identity: (uri: string) => Promise<string | undefined>;
  /**
   * What is another one when a file was changed: its size, its times. Undefined where that cannot be told, and of a file that was
   * changed so lately that a next change might have the same time.
   */
  readonly stamp: (uri: string) => Promise<string | undefined>;
  /** Opens a file once. Only regular files are opened, and a pipe where `pipe` allows it, which is read at once and whole. */
  readonly open: (uri: string, allowed?: Allowed) => Promise<Result<OpenFile>>;
  /** What is in a folder; links are not followed. */
  readonly list: (folder: string) => Promise<Result<readonly FolderEntry[]>>;
  /** Raw bytes are opened as lines of dump text, behind the headers that are kept beside them. */
  readonly readsRawBytes?: true;
}

export interface Allowed {
  readonly pipe?: boolean;
  /** Bytes: of a larger file nothing is of use, so that it is refused before all of it is read. */
  readonly most?: number;
}

export type FileType = 'file' | 'folder' | 'other';

export interface FolderEntry {
  readonly name: string;
  readonly type: FileType;
}

/** A file that is open: all reading is of the one state that it had then. */
export interface OpenFile {
  /** The form of the text where that is known, whatever the name of the file promises: raw bytes are read as dump text. */
  readonly form?: WrittenForm;
  /** Bytes. */
  readonly size: number;
  /** All of it. */
  readonly text: () => string;
  /** The bytes in order, from the start each time. A chunk holds only until the next is asked for. */
  readonly chunks: () => Iterable<Uint8Array>;
  readonly decode: (bytes: Uint8Array) => string;
  /** The raw bytes that the text is made from, where it is. */
  readonly raw?: RawBytes;
  /** Refuses where what was read is not to be relied on: the file was changed meanwhile, or could not be read to its end. */
  readonly close: () => Result<void>;
}

/** What is put behind the name of a file that has no place for headers, for the file with them. */
export const HEADERS_BESIDE = '.dump-headers';

/** Files above this size are read only a pass at a time: 50 MB, where editors stop handing texts to extensions. */
export const LARGEST_FILE = 50 * 1024 * 1024;

/** As much as one text can hold: where all rows of a larger file are needed, it is refused. */
export const LARGEST_TEXT = 500 * 1024 * 1024;

/** A folder with more files of ours than these was opened by mistake; more are not listed. */
export const MOST_FILES = 5000;
