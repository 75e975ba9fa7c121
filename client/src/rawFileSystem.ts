import * as vscode from 'vscode';
import { isRefusal } from './ask.js';
import { nameOf } from './places.js';
import {
  bytesIn,
  headersFile,
  headersToWrite,
  ifThere,
  isSame,
  isThere,
  type RawPair,
  readPair,
  textIn,
} from './rawPair.js';
import { createRawStates, type Kept, type RawStates } from './rawStates.js';
import type { RawOfText, RawTexts } from './rawText.js';
import { fileUri, isRaw, RAW_SCHEME } from './rawUri.js';

/** A line of 16 bytes is 48 characters in texts as large as that, and of texts above 50 MB the editor tells its extensions nothing. */
export const LARGEST_RAW = 16 * 1024 * 1024;

/**
 * Raw bytes as texts that are edited and saved as any other: a file system over the editor's own. What is read is the
 * text that the command line makes of the same bytes, behind the headers from the file beside them; what is saved goes
 * back into both.
 */
export function registerRawFiles(kept: Kept, texts: RawTexts): vscode.Disposable {
  const states = createRawStates(kept);
  const changed = new vscode.EventEmitter<vscode.FileChangeEvent[]>();
  const refuse = () => {
    throw vscode.FileSystemError.NoPermissions();
  };
  const provider: vscode.FileSystemProvider = {
    onDidChangeFile: changed.event,
    watch: (uri) => watch(fileUri(uri), (type) => changed.fire([{ type, uri }])),
    stat: (uri) => statOf(fileUri(uri)),
    readDirectory: (uri) => vscode.workspace.fs.readDirectory(fileUri(uri)),
    readFile: (uri) => read(fileUri(uri), texts, states),
    writeFile: (uri, content, how) => write(fileUri(uri), content, how, texts, states),
    createDirectory: refuse,
    delete: refuse,
    rename: refuse,
  };
  for (const document of vscode.workspace.textDocuments) asDump(document);
  return vscode.Disposable.from(
    changed,
    vscode.workspace.registerFileSystemProvider(RAW_SCHEME, provider, { isCaseSensitive: true }),
    vscode.workspace.onDidOpenTextDocument(asDump),
    vscode.workspace.onWillRenameFiles((event) => event.waitUntil(withHeaders(event.files))),
  );
}

/** No name of a file of raw bytes says that it is a dump. */
function asDump(document: vscode.TextDocument): void {
  if (isRaw(document.uri) && document.languageId !== 'cfgdump')
    void vscode.languages.setTextDocumentLanguage(document, 'cfgdump');
}

/** Headers go with the file that they are beside. */
async function withHeaders(renamed: vscode.FileWillRenameEvent['files']): Promise<vscode.WorkspaceEdit> {
  const edit = new vscode.WorkspaceEdit();
  for (const { oldUri, newUri } of renamed) {
    const headers = headersFile(oldUri);
    const isMoved = renamed.some((one) => one.oldUri.toString() === headers.toString());
    if (!isMoved && (await isThere(headers))) edit.renameFile(headers, headersFile(newUri), { overwrite: false });
  }
  return edit;
}

/** Why a file is not shown as a text: it is too large for that. */
export function tooLarge(name: string): string {
  return vscode.l10n.t(
    '{0} is larger than {1} MB, which is too much for a text in the editor. Use the command line: countersum check.',
    name,
    LARGEST_RAW / (1024 * 1024),
  );
}

async function statOf(file: vscode.Uri): Promise<vscode.FileStat> {
  const stat = await vscode.workspace.fs.stat(file);
  if ((stat.type & vscode.FileType.File) === 0) return stat;
  const headers = await ifThere(() => vscode.workspace.fs.stat(headersFile(file)));
  const isReadOnly = vscode.workspace.fs.isWritableFileSystem(file.scheme) === false;
  return {
    ...stat,
    mtime: Math.max(stat.mtime, headers?.mtime ?? 0),
    // About as long as the text; what counts is that another number of bytes is another size.
    size: Math.ceil(stat.size * 3.75) + (headers?.size ?? 0),
    ...(isReadOnly && { permissions: vscode.FilePermission.Readonly }),
  };
}

async function read(file: vscode.Uri, texts: RawTexts, states: RawStates): Promise<Uint8Array> {
  if ((await vscode.workspace.fs.stat(file)).size > LARGEST_RAW)
    throw vscode.FileSystemError.Unavailable(tooLarge(nameOf(file)));
  const pair = await readPair(file);
  if (pair.bytes === undefined) throw vscode.FileSystemError.FileNotFound(file);
  const shown = await texts.textOf(pair.bytes, headersIn(file, pair));
  if (isRefusal(shown)) throw vscode.FileSystemError.Unavailable(shown.refused);
  await states.isNow(file, pair);
  return bytesIn(shown.text);
}

function headersIn(file: vscode.Uri, { headers }: RawPair): string {
  const text = headers === undefined ? '' : textIn(headers);
  if (text !== undefined) return text;
  const message = vscode.l10n.t('{0} is not in UTF-8. Save it in that encoding first.', nameOf(headersFile(file)));
  throw vscode.FileSystemError.Unavailable(message);
}

/** Saves a text, or says why not: then nothing was written, and the text stays unsaved in the editor. */
async function write(
  file: vscode.Uri,
  content: Uint8Array,
  { create, overwrite }: { readonly create: boolean; readonly overwrite: boolean },
  texts: RawTexts,
  states: RawStates,
): Promise<void> {
  const size = (await ifThere(() => vscode.workspace.fs.stat(file)))?.size ?? null;
  const { bytes, headers } = await bytesOfText(nameOf(file), content, size, texts);
  const now = await readPair(file);
  if (now.bytes === undefined && !create) throw vscode.FileSystemError.FileNotFound(file);
  if (now.bytes !== undefined && !overwrite) throw vscode.FileSystemError.FileExists(file);
  const before = await headersAgain(headersIn(file, now), texts);
  const headersAfter = headersToWrite(now.headers, before?.headers, headers);
  const isSameBytes = now.bytes !== undefined && isSame(now.bytes, bytes);
  if (isSameBytes && headersAfter === undefined) return states.isNow(file, now);
  // The server has held the text against the size that the file had then.
  const isKnown = states.isKnown(file, now) && (now.bytes?.length ?? null) === size;
  const why = whyNotOver(nameOf(file), now, { isSealed: before?.isSealed !== false, isKnown });
  if (why !== undefined) throw vscode.FileSystemError.Unavailable(why);
  // The bytes come last: while the headers are missing, nothing wrong can be said of them.
  if (headersAfter !== undefined) {
    await vscode.workspace.fs.writeFile(headersFile(file), headersAfter);
    await states.isNow(file, { ...now, headers: headersAfter });
  }
  if (isSameBytes) return;
  await vscode.workspace.fs.writeFile(file, bytes);
  await states.isNow(file, { bytes, headers: headersAfter ?? now.headers });
}

async function bytesOfText(
  name: string,
  content: Uint8Array,
  size: number | null,
  texts: RawTexts,
): Promise<RawOfText> {
  const text = textIn(content);
  const made = text === undefined ? undefined : await texts.bytesOf(text, size);
  if (made !== undefined && !isRefusal(made)) return made;
  const message =
    made === undefined
      ? vscode.l10n.t('{0} is not saved: its text is not in UTF-8. Choose that encoding.', name)
      : vscode.l10n.t('{0} is not saved: {1}. Undo that change.', name, made.refused);
  throw vscode.FileSystemError.Unavailable(message);
}

/** Headers as they come back from the text that shows them, without blank lines; undefined where they are none. */
async function headersAgain(headers: string, texts: RawTexts): Promise<Omit<RawOfText, 'bytes'> | undefined> {
  if (headers === '') return { headers: '', isSealed: false };
  const made = await texts.bytesOf(headers.endsWith('\n') ? headers : `${headers}\n`, null);
  return isRefusal(made) ? undefined : made;
}

/** Why nothing is written over what is on the disk. */
function whyNotOver(
  name: string,
  now: RawPair,
  { isSealed, isKnown }: { readonly isSealed: boolean; readonly isKnown: boolean },
): string | undefined {
  if (now.bytes === undefined)
    return now.headers === undefined
      ? undefined
      : vscode.l10n.t('{0} is not saved: headers of another file of that name are there. Choose another name.', name);
  if (isSealed)
    return vscode.l10n.t('{0} is not saved: it is a sealed backup, which stays as it is. Work on a copy.', name);
  return isKnown
    ? undefined
    : vscode.l10n.t(
        '{0} is not saved: it has changed on the disk since it was read. Compare it with what is saved, then save again; or revert it.',
        name,
      );
}

/** Calls back when a file or its headers appear, change or go; a file without its headers is another text. */
function watch(file: vscode.Uri, tell: (type: vscode.FileChangeType) => void): vscode.Disposable {
  const { Changed, Deleted } = vscode.FileChangeType;
  const watchers = [file, headersFile(file)].map((one) => {
    const pattern = new vscode.RelativePattern(vscode.Uri.joinPath(one, '..'), nameOf(one));
    const watcher = vscode.workspace.createFileSystemWatcher(pattern);
    watcher.onDidCreate(() => tell(Changed));
    watcher.onDidChange(() => tell(Changed));
    watcher.onDidDelete(() => tell(one === file ? Deleted : Changed));
    return watcher;
  });
  return vscode.Disposable.from(...watchers);
}
