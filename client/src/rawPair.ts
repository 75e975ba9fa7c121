import * as vscode from 'vscode';
import { HEADERS_BESIDE } from '../../shared-core/src/workspace/index.js';

/** A file of raw bytes and the file with its headers, as they are on the disk; undefined for one that is not there. */
export interface RawPair {
  readonly bytes: Uint8Array | undefined;
  readonly headers: Uint8Array | undefined;
}

/** The file with the headers of a file of raw bytes. */
export function headersFile(file: vscode.Uri): vscode.Uri {
  return file.with({ path: `${file.path}${HEADERS_BESIDE}` });
}

export async function readPair(file: vscode.Uri): Promise<RawPair> {
  return { bytes: await readIfThere(file), headers: await readIfThere(headersFile(file)) };
}

/** What is asked of a file; undefined where it is not there. */
export async function ifThere<T>(ask: () => Thenable<T>): Promise<T | undefined> {
  try {
    return await ask();
  } catch (error) {
    if (error instanceof vscode.FileSystemError && error.code === 'FileNotFound') return undefined;
    throw error;
  }
}

/** Whether a file is there, as far as can be told. */
export async function isThere(file: vscode.Uri): Promise<boolean> {
  try {
    await vscode.workspace.fs.stat(file);
    return true;
  } catch {
    return false;
  }
}

function readIfThere(file: vscode.Uri): Promise<Uint8Array | undefined> {
  return ifThere(() => vscode.workspace.fs.readFile(file));
}

export function isSame(one: Uint8Array, other: Uint8Array): boolean {
  return one.length === other.length && one.every((byte, at) => byte === other[at]);
}

const MARK = '\ufeff';

/** Text in UTF-8, without its mark and with the line ends that editors keep; undefined for bytes that are none. */
export function textIn(bytes: Uint8Array): string | undefined {
  try {
    return withLineFeeds(new TextDecoder('utf-8', { fatal: true }).decode(bytes));
  } catch {
    return undefined;
  }
}

/** The bytes of a text as an editor reads it for sure as UTF-8, whatever encoding it expects. */
export function bytesIn(text: string): Uint8Array {
  return new TextEncoder().encode(/^[\0-\x7f]*$/.test(text) ? text : MARK + text);
}

function withLineFeeds(text: string): string {
  return text.includes('\r') ? text.replace(/\r\n?/g, '\n') : text;
}

/** The headers in a file with the line ends and the mark that it had before; undefined where they are the same. */
export function headersToWrite(
  before: Uint8Array | undefined,
  same: string | undefined,
  headers: string,
): Uint8Array | undefined {
  if (headers === same) return undefined;
  const written = before === undefined ? '' : new TextDecoder('utf-8', { ignoreBOM: true }).decode(before);
  const [lineEnd = '\n'] = /\r\n?|\n/.exec(written) ?? [];
  const mark = written.startsWith(MARK) ? MARK : '';
  return new TextEncoder().encode(mark + headers.replaceAll('\n', lineEnd));
}
