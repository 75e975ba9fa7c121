import * as vscode from 'vscode';
import { nameOf } from './places.js';
import { fileUri } from './rawUri.js';

/** Names that are tried in turn before a person is told that all are taken. */
const MOST_NAMES = 99;

/** The first of the names that no file beside another has. */
export async function firstFree(
  beside: vscode.Uri,
  names: readonly string[],
  isTaken: (uri: vscode.Uri) => Promise<boolean> = exists,
): Promise<vscode.Uri | undefined> {
  for (const name of names) {
    const target = vscode.Uri.joinPath(fileUri(beside), '..', name);
    if (!(await isTaken(target))) return target;
  }
  return undefined;
}

/** The address of an unsaved text beside a file on a disk, under the first of the names that neither a file nor a text has. */
export async function freeUnsaved(beside: vscode.Uri, names: readonly string[]): Promise<vscode.Uri | undefined> {
  if (beside.scheme !== 'file' && beside.scheme !== 'vscode-remote') return undefined;
  const open = new Set(vscode.workspace.textDocuments.map(({ uri }) => uri.path));
  const free = names.filter((name) => !open.has(vscode.Uri.joinPath(beside, '..', name).path));
  return (await firstFree(beside, free))?.with({ scheme: 'untitled' });
}

/** `STEM.ENDING`, then `STEM-2.ENDING` and so on, where the stem is the name of a file without its own ending. */
export function namesLike(file: vscode.Uri, ending: string): readonly string[] {
  return numbered((number) => `${stemOf(file)}${number === 1 ? '' : `-${number}`}.${ending}`);
}

export function numbered(name: (number: number) => string): readonly string[] {
  return Array.from({ length: MOST_NAMES }, (_, i) => name(i + 1));
}

export function stemOf(file: vscode.Uri): string {
  return nameOf(file).replace(/\.[^.]*$/, '');
}

/** What people call something, as a part of a file's name; empty where nothing of it can be in one. */
export function partOfName(words: string): string {
  return words
    .replace(/[^\p{L}\p{N}._-]+/gu, '-')
    .replace(/^[._-]+|[._-]+$/g, '')
    .slice(0, 60);
}

/** Whether there is such a file; where nobody can tell, it counts as there, so that nothing is written over it. */
export async function exists(uri: vscode.Uri): Promise<boolean> {
  try {
    await vscode.workspace.fs.stat(uri);
    return true;
  } catch (error) {
    return !(error instanceof vscode.FileSystemError && error.code === 'FileNotFound');
  }
}

export async function writeText(target: vscode.Uri, text: string): Promise<void> {
  await vscode.workspace.fs.writeFile(target, new TextEncoder().encode(text));
}

/** When a file was last written; undefined where nobody can tell. */
export async function savedAt(file: vscode.Uri): Promise<Date | undefined> {
  try {
    const { mtime } = await vscode.workspace.fs.stat(file);
    return mtime < EARLIEST ? undefined : new Date(mtime);
  } catch {
    return undefined;
  }
}

/** What file systems say that keep no times is before this. */
const EARLIEST = Date.UTC(2000, 0, 1);
