import { done, refuse } from '../../shared-core/src/base/index.js';
import {
  CHANGED,
  canonicalUri,
  type FileType,
  fileOfBytes,
  fileOfText,
  type Host,
  NOT_REGULAR,
  type OpenFile,
  reasonOf,
} from '../../shared-core/src/workspace/index.js';

/** What a file of the memory is: its text, something that is no regular file, the code of why it cannot be read, or a text that is another one when it is read again. */
export type MemoryFile =
  | string
  | Uint8Array
  | { readonly special: 'pipe' | 'device' }
  | { readonly fails: string }
  | { readonly changing: string };

export const utf8 = {
  encode: (text: string) => new TextEncoder().encode(text),
  decode: (bytes: Uint8Array) => new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes),
};

/** A host whose files are in memory, and what was asked of it. */
export interface MemoryHost extends Host {
  readonly opened: string[];
  /** How many files are open now. */
  readonly left: () => number;
}

/** As a disk does: a file has its name, in whatever form an address writes it. `same` are addresses of one file. */
export function memoryHost(
  files: ReadonlyMap<string, MemoryFile>,
  same: readonly (readonly string[])[] = [],
): MemoryHost {
  const opened: string[] = [];
  let left = 0;
  const at = (uri: string) => [...files].find(([name]) => canonicalUri(name) === canonicalUri(uri))?.[1];
  const below = (folder: string) => {
    const top = `${canonicalUri(folder).replace(/\/$/, '')}/`;
    return [...files.keys()].map(canonicalUri).flatMap((uri) => (uri.startsWith(top) ? [uri.slice(top.length)] : []));
  };
  const open = (file: MemoryFile | undefined, pipe: boolean): ReturnType<Host['open']> => {
    const found = openFile(file, pipe);
    return Promise.resolve(found.ok ? done(counted(found.value)) : found);
  };
  const counted = (file: OpenFile): OpenFile => {
    left++;
    return {
      ...file,
      close: () => {
        left--;
        return file.close();
      },
    };
  };
  return {
    opened,
    left: () => left,
    kindAt: async (uri) => {
      const file = at(uri);
      if (typeof file === 'string' || file instanceof Uint8Array) return done('file');
      if (file !== undefined) return done('other');
      return below(uri).length > 0 ? done('folder') : refuse(reasonOf('ENOENT'));
    },
    identity: async (uri) => {
      const place = canonicalUri(uri);
      return at(uri) === undefined
        ? undefined
        : (same.find((uris) => uris.map(canonicalUri).includes(place))?.[0] ?? place);
    },
    stamp: async (uri) => {
      const file = at(uri);
      if (file === undefined) return 'none';
      return typeof file === 'string' ? file : file instanceof Uint8Array ? file.join() : undefined;
    },
    open: (uri, { pipe = false } = {}) => {
      opened.push(canonicalUri(uri));
      if (at(uri) === undefined && below(uri).length > 0) return Promise.resolve(refuse(reasonOf('EISDIR')));
      return open(at(uri), pipe);
    },
    list: async (folder) => {
      const paths = below(folder);
      if (paths.length === 0) return refuse(reasonOf('ENOENT'));
      const entries = new Map<string, FileType>();
      for (const path of paths) {
        const [name = '', ...rest] = path.split('/');
        const file = rest.length > 0 ? undefined : at(`${folder.replace(/\/$/, '')}/${name}`);
        const isOther = typeof file === 'object' && 'special' in file;
        entries.set(decodeURIComponent(name), rest.length > 0 ? 'folder' : isOther ? 'other' : 'file');
      }
      return done([...entries].map(([name, type]) => ({ name, type })));
    },
  };
}

function openFile(file: MemoryFile | undefined, pipe: boolean) {
  if (file === undefined) return refuse(reasonOf('ENOENT'));
  if (typeof file === 'string') return done(fileOfText(file, utf8));
  if (file instanceof Uint8Array) return done(fileOfBytes(file, utf8));
  if ('fails' in file) return refuse(reasonOf(file.fails));
  if ('changing' in file)
    return done({ ...fileOfBytes(utf8.encode(file.changing), utf8), close: () => refuse(CHANGED) });
  return pipe && file.special === 'pipe' ? done(fileOfText('', utf8)) : refuse(NOT_REGULAR);
}
