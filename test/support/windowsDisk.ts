import { win32 } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Fs, Machine } from '../../server/src/files/machine.js';
import { done, refuse } from '../../shared-core/src/base/index.js';
import { type FileType, fileOfBytes, type Host, NOT_REGULAR, reasonOf } from '../../shared-core/src/workspace/index.js';
import { utf8 } from './memoryHost.js';
import { run } from './runs.js';

/** What is at a path: a folder, a file, or a link to another path. */
interface Entry {
  /** As the disk writes it, whatever case it is asked by. */
  readonly path: string;
  readonly kind: 'file' | 'folder' | 'link';
  readonly target?: string;
  content: Buffer;
  isReadOnly: boolean;
  /** Another program has it open and lets nobody replace it. */
  isInUse: boolean;
  changes: number;
}

/** A disk as Windows has it, in memory: names of any case are one, files have no owner and no rights but "read-only". */
export interface WindowsDisk {
  readonly fs: Fs;
  readonly host: Host;
  /** A run on it. */
  readonly run: (pid: number, alive?: readonly number[]) => Machine;
  readonly write: (path: string, content: string) => void;
  readonly link: (path: string, target: string) => void;
  readonly mark: (path: string, as: Partial<Pick<Entry, 'isReadOnly' | 'isInUse'>>) => void;
  readonly read: (path: string) => string | undefined;
  /** The paths of all files, as the disk writes them. */
  readonly files: () => readonly string[];
  /** From now on the run is dead after so many calls. */
  readonly killAfter: (calls: number) => void;
}

export function windowsDisk(files: Readonly<Record<string, string>> = {}): WindowsDisk {
  const entries = new Map<string, Entry>();
  const handles = new Map<number, Entry>();
  let lastHandle = 2;
  let callsLeft = Number.POSITIVE_INFINITY;

  const fails = (code: string): never => {
    throw Object.assign(new Error(code), { code });
  };
  const keyOf = (path: string) =>
    win32
      .normalize(path)
      .replace(/(?<!:)\\$/, '')
      .toLowerCase();
  const put = (path: string, kind: Entry['kind'], more: Partial<Entry> = {}): Entry => {
    const folder = win32.dirname(path);
    if (folder !== path && !entries.has(keyOf(folder))) put(folder, 'folder');
    const one = { path, kind, content: Buffer.alloc(0), isReadOnly: false, isInUse: false, changes: 0, ...more };
    entries.set(keyOf(path), one);
    return one;
  };
  const at = (path: string) => entries.get(keyOf(path));
  /** What is behind all links; the path as the disk writes it. */
  const behind = (name: string, left = 8): Entry => {
    const path = win32.resolve(name);
    const folder = win32.dirname(path);
    const real = folder === path ? path : win32.join(behind(folder, left).path, win32.basename(path));
    const found = at(real) ?? fails('ENOENT');
    if (found.kind !== 'link') return found;
    return left === 0 ? fails('ELOOP') : behind(win32.resolve(win32.dirname(found.path), found.target ?? ''), left - 1);
  };
  const behindOr = (path: string): Entry | undefined => {
    try {
      return behind(path);
    } catch {
      return undefined;
    }
  };
  const itself = (name: string): Entry | undefined => {
    const path = win32.resolve(name);
    const folder = behindOr(win32.dirname(path));
    return win32.dirname(path) === path ? folder : folder && at(win32.join(folder.path, win32.basename(path)));
  };
  const statOf = ({ kind, isReadOnly, content, changes }: Entry) => ({
    isFile: () => kind === 'file',
    isDirectory: () => kind === 'folder',
    isSymbolicLink: () => kind === 'link',
    mode: isReadOnly ? 0o100444 : 0o100666,
    uid: 0,
    gid: 0,
    nlink: 1,
    size: content.length,
    mtimeMs: changes,
  });
  const statOr = (found: Entry | undefined, { throwIfNoEntry = true } = {}) =>
    found === undefined ? (throwIfNoEntry ? fails('ENOENT') : undefined) : statOf(found);
  const opened = (handle: number) => handles.get(handle) ?? fails('EBADF');

  const calls = {
    realpathSync: (path: string) => behind(path).path,
    lstatSync: (path: string, how?: object) => statOr(itself(path), how),
    statSync: (path: string, how?: object) => statOr(behindOr(path), how),
    fstatSync: (handle: number) => statOf(opened(handle)),
    accessSync: (path: string) => (behind(path).isReadOnly ? fails('EPERM') : undefined),
    openSync: (path: string, flags: string) => {
      const found = itself(path);
      if (found?.kind === 'folder') fails('EPERM');
      if (flags === 'wx' && found !== undefined) fails('EEXIST');
      if (behind(win32.dirname(path)).kind !== 'folder') fails('ENOENT');
      const one = found ?? put(win32.join(behind(win32.dirname(path)).path, win32.basename(path)), 'file');
      handles.set(++lastHandle, one);
      return lastHandle;
    },
    writeSync: (handle: number, bytes: Uint8Array, from = 0) => {
      const one = opened(handle);
      one.content = Buffer.concat([one.content, bytes.subarray(from)]);
      one.changes++;
      return bytes.length - from;
    },
    fsyncSync: (handle: number) => void opened(handle),
    closeSync: (handle: number) => void handles.delete(handle),
    fchmodSync: (handle: number, mode: number) => {
      opened(handle).isReadOnly = (mode & 0o200) === 0;
    },
    fchownSync: () => {},
    mkdirSync: (path: string) => (behind(path).kind === 'folder' ? undefined : fails('EEXIST')),
    readFileSync: (path: string, encoding?: 'utf8') => {
      const { kind, content } = behind(path);
      if (kind === 'folder') fails('EISDIR');
      return encoding === undefined ? Buffer.from(content) : content.toString(encoding);
    },
    readSync: (handle: number, into: Buffer, from: number, count: number, at: number) =>
      opened(handle).content.copy(into, from, at, at + count),
    readdirSync: (folder: string) => {
      const { path } = behind(folder);
      return [...entries.values()].flatMap((one) =>
        one.path !== path && win32.dirname(one.path) === path ? win32.basename(one.path) : [],
      );
    },
    renameSync: (from: string, to: string) => {
      const moved = itself(from) ?? fails('ENOENT');
      const replaced = itself(to);
      if (replaced?.isReadOnly || replaced?.kind === 'folder') fails('EPERM');
      if (replaced?.isInUse) fails('EBUSY');
      entries.delete(keyOf(moved.path));
      const folder = behind(win32.dirname(to)).path;
      entries.delete(keyOf(win32.join(folder, win32.basename(to))));
      put(win32.join(folder, win32.basename(to)), moved.kind, {
        ...moved,
        path: win32.join(folder, win32.basename(to)),
      });
    },
    unlinkSync: (path: string) => {
      const found = itself(path) ?? fails('ENOENT');
      if (found.isReadOnly) fails('EPERM');
      entries.delete(keyOf(found.path));
    },
  };
  const counted = Object.fromEntries(
    Object.entries(calls).map(([name, call]) => [
      name,
      (...args: readonly unknown[]) => {
        if (callsLeft-- <= 0) throw new Error('killed');
        return Reflect.apply(call, undefined, args);
      },
    ]),
  );
  // Only what the runs call is played, with the arguments that they give.
  const fs = counted as unknown as Fs;

  const found = (uri: string) => {
    try {
      return uri.startsWith('file:///') ? behind(fileURLToPath(uri, { windows: true })) : undefined;
    } catch {
      return undefined;
    }
  };
  const typeOf = ({ kind }: Entry): FileType => (kind === 'link' ? 'other' : kind);
  const host: Host = {
    kindAt: async (uri) => {
      const one = found(uri);
      return one === undefined ? refuse(reasonOf('ENOENT')) : done(typeOf(one));
    },
    identity: async (uri) => found(uri)?.path,
    stamp: async (uri) => `${found(uri)?.content.toString('latin1')}`,
    open: async (uri) => {
      const one = found(uri);
      if (one === undefined) return refuse(reasonOf('ENOENT'));
      return one.kind === 'file' ? done(fileOfBytes(Uint8Array.from(one.content), utf8)) : refuse(NOT_REGULAR);
    },
    list: async (folder) => {
      const top = found(folder);
      if (top === undefined) return refuse(reasonOf('ENOENT'));
      const inside = [...entries.values()].filter((one) => one !== top && win32.dirname(one.path) === top.path);
      return done(inside.map((one) => ({ name: win32.basename(one.path), type: typeOf(one) })));
    },
  };
  for (const [path, content] of Object.entries(files)) put(path, 'file', { content: Buffer.from(content) });
  return {
    fs,
    host,
    run: (pid, alive = [pid]) => ({ ...run(pid, { alive, fs }), disk: host, paths: win32, uid: undefined }),
    write: (path, content) => void put(behindOr(path)?.path ?? path, 'file', { content: Buffer.from(content) }),
    link: (path, target) => void put(path, 'link', { target }),
    mark: (path, as) => void Object.assign(behind(path), as),
    read: (path) => behindOr(path)?.content.toString(),
    files: () => [...entries.values()].flatMap(({ kind, path }) => (kind === 'file' ? path : [])).sort(),
    killAfter: (count) => {
      callsLeft = count;
    },
  };
}
