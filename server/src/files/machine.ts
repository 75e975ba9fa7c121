import { createHash, randomBytes } from 'node:crypto';
import {
  accessSync,
  closeSync,
  fchmodSync,
  fchownSync,
  fstatSync,
  fsyncSync,
  lstatSync,
  mkdirSync,
  openSync,
  readdirSync,
  readFileSync,
  readSync,
  realpathSync,
  renameSync,
  rmdirSync,
  statSync,
  unlinkSync,
  writeSync,
} from 'node:fs';
import { hostname } from 'node:os';
import nodePath, { type PlatformPath } from 'node:path';
import type { Host } from '../../../shared-core/src/workspace/index.js';
import { createDiskHost } from '../diskHost.js';
import { codeOf } from './failure.js';
import { wait as sleep } from './writeAll.js';

/** The calls of the system by which files are written: by name, as all of `node:fs` at once loads its streams as well. */
const FS = {
  accessSync,
  closeSync,
  fchmodSync,
  fchownSync,
  fstatSync,
  fsyncSync,
  lstatSync,
  mkdirSync,
  openSync,
  readdirSync,
  readFileSync,
  readSync,
  renameSync,
  rmdirSync,
  statSync,
  unlinkSync,
  writeSync,
  realpathSync: (path: string): string => realpathSync.native(path),
} as const;

export type Fs = Readonly<typeof FS>;

/** Where a run writes, and how it is told from others that write at the same time. */
export interface Machine {
  readonly fs: Fs;
  /** The same disk, as dumps are read from it. */
  readonly disk: Host;
  /** How paths are written on it. */
  readonly paths: PlatformPath;
  /** Whose files are the own ones; undefined on Windows, which gives files no such number. */
  readonly uid: number | undefined;
  /** Short names of the machine and of this run. */
  readonly host: string;
  readonly token: string;
  readonly pid: number;
  readonly isAlive: (pid: number) => boolean;
  readonly wait: (milliseconds: number) => void;
}

/** This machine. Its names are made when something is written or was left half done: most runs need none, nor what makes them. */
export function thisMachine({ wait = sleep }: Partial<Pick<Machine, 'wait'>> = {}): Machine {
  let [host, token]: [string?, string?] = [];
  return {
    fs: FS,
    disk: createDiskHost(),
    paths: nodePath,
    uid: process.getuid?.(),
    get host() {
      host ??= shortHash(hostname());
      return host;
    },
    get token() {
      token ??= randomBytes(6).toString('hex');
      return token;
    },
    pid: process.pid,
    isAlive,
    wait,
  };
}

export function isWindows({ paths }: Pick<Machine, 'paths'>): boolean {
  return paths.sep === '\\';
}

/** Eight hex digits that stand for a name. */
export function shortHash(name: string): string {
  return createHash('sha256').update(name).digest('hex').slice(0, 8);
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // What belongs to somebody else is there, although nothing can be sent to it.
    return codeOf(error) !== 'ESRCH';
  }
}
