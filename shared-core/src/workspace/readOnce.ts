import { done, type Result } from '../base/result.js';
import type { Dump } from '../model/dump.js';
import type { Profile } from '../profile/profile.js';
import type { FileToBind } from './dumpFile.js';
import { createUriMap } from './uriMap.js';

/** Files that are read once for all who ask, and bound once to each profile: a dump is the backup of one and a module of another. */
export interface OnceRead {
  readonly read: (file: string) => Promise<Result<FileToBind>>;
  /** Reads them anew when they are next asked for. */
  readonly forget: () => void;
}

/** `readFile` reads a dump with all its rows. */
export function readOnce(readFile: OnceRead['read']): OnceRead {
  const files = createUriMap<Promise<Result<FileToBind>>>();
  const readAnew = async (file: string): Promise<Result<FileToBind>> => {
    const found = await readFile(file);
    return found.ok ? done(boundOnce(found.value)) : found;
  };
  return {
    read: (file) => {
      const reading = files.get(file) ?? readAnew(file);
      files.set(file, reading);
      return reading;
    },
    forget: files.clear,
  };
}

function boundOnce(unbound: FileToBind): FileToBind {
  const dumps = new Map<Profile, Result<Dump> | Promise<Result<Dump>>>();
  return {
    ...unbound,
    bind: (profile) => {
      const dump = dumps.get(profile) ?? unbound.bind(profile);
      dumps.set(profile, dump);
      return dump;
    },
  };
}
