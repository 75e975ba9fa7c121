import { type Phrase, phrase } from '../base/phrase.js';
import { dumpText } from '../format/dumpText.js';
import { isPassedOver, kindOf } from './fileKind.js';
import { HEADERS_BESIDE, type Host, LARGEST_FILE, MOST_FILES } from './host.js';
import { type IgnoreRules, isIgnored, readIgnoreRules } from './ignore.js';
import { canonicalUri, childUri, fileName, parentUri, pathParts } from './uri.js';

/** The files of ours in some folders, in rising order. */
export interface FileList {
  readonly dumps: readonly string[];
  readonly profiles: readonly string[];
  readonly retrofits: readonly string[];
  /** Job cards that were saved. */
  readonly cards: readonly string[];
  /** What could not be looked through, and why: the list is not whole then. */
  readonly unlisted: readonly Phrase[];
}

/** How far a walk goes. */
export interface Walk {
  /** Whether folders in the folders are walked as well. */
  readonly deep?: boolean;
  /** More files than these are not listed. */
  readonly most?: number;
  /** Is told of each file of ours that is left out: version control ignores it, or it is a link; of each link to a folder too. */
  readonly onLeftOut?: (uri: string, kind: FileKind | 'folder', why: 'ignored' | 'link') => void;
  /** Is told of each folder in the folders that is walked. */
  readonly onFolder?: (uri: string) => void;
  /** Is told of each folder that could not be looked through, beside the list. */
  readonly onUnlisted?: (uri: string, why: Phrase) => void;
}

/** More folders than these are no place for dumps. */
const MOST_FOLDERS = 20_000;

/**
 * The one walk through folders. Left out are dot folders and `node_modules`, and what version control ignores; links are
 * not followed; what has the name of a file of ours and is neither file nor folder is listed, so that whoever opens it
 * says why it cannot be read. Folders that are nearer to the top come first. A file of any name is a dump where its backup is
 * beside it or, where the host reads raw bytes, its headers are.
 */
export async function listFiles(
  host: Host,
  folders: readonly string[],
  { deep = true, most = MOST_FILES, onLeftOut, onFolder, onUnlisted }: Walk = {},
): Promise<FileList> {
  const found = new Map<string, FileKind>();
  const unlisted: Phrase[] = [];
  const notListed = (uri: string, why: Phrase) => {
    unlisted.push(why);
    onUnlisted?.(uri, why);
  };
  for (const top of folders.map(canonicalUri)) {
    const ignores = await ignoresAbove(host, top);
    const waiting: Folder[] = [{ uri: top, path: pathParts(top), ignores, isLeftOut: false }];
    let leftOut = 0;
    for (let next = 0; next < waiting.length; next++) {
      const folder = waiting[next] as Folder;
      const listed = await host.list(folder.uri);
      if (!listed.ok) {
        if (folder.isLeftOut) continue;
        notListed(folder.uri, phrase('{0} cannot be listed: {1}', fileName(folder.uri), listed.why));
        continue;
      }
      const ignores = await withIgnoreFile(host, folder, listed.value.some(isIgnoreFile));
      const isDump = dumpsByWhatIsBeside(
        listed.value.map(({ name }) => name),
        host.readsRawBytes === true,
      );
      for (const { name, type } of listed.value) {
        const path = [...folder.path, name];
        const isFolder = type === 'folder';
        const kind = kindOf(name) ?? (isDump(name) ? 'dumps' : undefined);
        const uri = childUri(folder.uri, name);
        if (type === 'other' && deep && !isPassedOver(name) && onLeftOut !== undefined && (await isFolderAt(host, uri)))
          onLeftOut(uri, 'folder', 'link');
        if (isFolder ? !deep || isPassedOver(name) : kind === undefined) continue;
        const isLeftOut = folder.isLeftOut || isIgnored(ignores, path, isFolder);
        if (isLeftOut && (onLeftOut === undefined || leftOut > MOST_FOLDERS)) continue;
        if (type === 'other' && (await leadsSomewhere(host, uri))) {
          if (kind !== undefined && !isLeftOut) onLeftOut?.(uri, kind, 'link');
          continue;
        }
        if (isFolder) waiting.push({ uri, path, ignores, isLeftOut });
        if (isFolder && !isLeftOut) onFolder?.(uri);
        if (isFolder && isLeftOut) leftOut++;
        if (isFolder || kind === undefined) continue;
        if (isLeftOut) onLeftOut?.(uri, kind, 'ignored');
        else found.set(uri, kind);
      }
      if (found.size > most || waiting.length - leftOut > MOST_FOLDERS) {
        notListed(
          top,
          phrase('{0} holds more files than are looked through: name the folder of one vehicle.', fileName(top)),
        );
        break;
      }
    }
  }
  const kept = new Map([...found].slice(0, most));
  return listOf([...kept.keys()].sort(), (uri) => kept.get(uri), unlisted);
}

/** Which names are of dumps by another file of their folder: a text of any name that is treated as one has its backup there. */
function dumpsByWhatIsBeside(names: readonly string[], readsRawBytes: boolean): (name: string) => boolean {
  const all = new Set(names);
  const backedUp = new Set(names.flatMap((name) => BACKUP_OF_ANY.exec(name)?.[1] ?? []));
  return (name) =>
    (readsRawBytes && all.has(`${name}${HEADERS_BESIDE}`)) || (backedUp.has(name) && !all.has(`${name}.${DUMP_TEXT}`));
}

const [DUMP_TEXT] = dumpText.endings;

/** The backup of a file whose own ending is none of a dump. */
const BACKUP_OF_ANY = new RegExp(`^(.+\\.[^.]+)\\.backup(?:-\\d+)?\\.${DUMP_TEXT}$`);

async function isFolderAt(host: Host, uri: string): Promise<boolean> {
  const there = await host.kindAt(uri);
  return there.ok && there.value === 'folder';
}

/** Whether what is neither file nor folder is a link to one. Not every host knows what lies behind a link. */
async function leadsSomewhere(host: Host, uri: string): Promise<boolean> {
  const there = await host.kindAt(uri);
  if (there.ok) return there.value !== 'other';
  const opened = await host.open(uri);
  return opened.ok && opened.value.close().ok;
}

/** The files of two lists, each once. */
export function bothLists(one: FileList, other: FileList): FileList {
  const both = (kind: 'dumps' | 'profiles' | 'retrofits' | 'cards') =>
    [...new Set([...one[kind], ...other[kind]])].sort();
  return {
    dumps: both('dumps'),
    profiles: both('profiles'),
    retrofits: both('retrofits'),
    cards: both('cards'),
    unlisted: [...one.unlisted, ...other.unlisted],
  };
}

export type FileKind = NonNullable<ReturnType<typeof kindOf>>;

function listOf(
  uris: readonly string[],
  kindAt: (uri: string) => FileKind | undefined,
  unlisted: readonly Phrase[],
): FileList {
  const ofKind = (kind: FileKind) => uris.filter((uri) => kindAt(uri) === kind);
  return {
    dumps: ofKind('dumps'),
    profiles: ofKind('profiles'),
    retrofits: ofKind('retrofits'),
    cards: ofKind('cards'),
    unlisted,
  };
}

interface Folder {
  readonly uri: string;
  /** Its parts from the root. */
  readonly path: readonly string[];
  readonly ignores: readonly IgnoreRules[];
  /** Version control ignores it: what is in it is told of, and not listed. */
  readonly isLeftOut: boolean;
}

const isIgnoreFile = ({ name }: { readonly name: string }) => name === IGNORE_FILE;
const IGNORE_FILE = '.gitignore';

async function withIgnoreFile(
  host: Host,
  { uri, path, ignores }: Folder,
  hasOne: boolean,
): Promise<readonly IgnoreRules[]> {
  const rules = hasOne ? await readIgnoreFile(host, uri) : undefined;
  return rules === undefined ? ignores : [...ignores, readIgnoreRules(path, rules)];
}

/** The rules of the folders around one, up to the folder that is under version control; none where none is. */
async function ignoresAbove(host: Host, top: string): Promise<readonly IgnoreRules[]> {
  const above: string[] = [];
  for (let folder = top; ; ) {
    const repository = await host.kindAt(childUri(folder, '.git'));
    if (repository.ok) break;
    const parent = parentUri(folder);
    if (parent === folder) return [];
    above.unshift(parent);
    folder = parent;
  }
  const ignores: IgnoreRules[] = [];
  for (const folder of above) {
    const rules = await readIgnoreFile(host, folder);
    if (rules !== undefined) ignores.push(readIgnoreRules(pathParts(folder), rules));
  }
  return ignores;
}

async function readIgnoreFile(host: Host, folder: string): Promise<string | undefined> {
  const opened = await host.open(childUri(folder, IGNORE_FILE));
  if (!opened.ok) return undefined;
  const text = opened.value.size > LARGEST_FILE ? undefined : opened.value.text();
  return opened.value.close().ok ? text : undefined;
}
