import { existsSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import {
  type BackupStatus,
  bind,
  bindText,
  type Dump,
  EMPTY_PROFILE,
  headerValue,
  type ImageFile,
  inNotationOf,
  isImage,
  notationOf,
  type Profile,
  type ProfileStatus,
  phrase,
  type Retrofit,
  readProfile,
  readRetrofit,
  scanImage,
} from '../../../shared-core/src/index.js';
import { type Disk, STDIN } from './disk.js';
import { Failure } from './failure.js';

/** A dump file with all that explains it. */
export interface Loaded {
  readonly file: string;
  readonly dump: Dump;
  /** The profile as it was named. */
  readonly profileFile: string | undefined;
  /** Where the profile lies. */
  readonly profilePath?: string;
  readonly profile: ProfileStatus;
  readonly backup: BackupStatus;
}

/** Reads a dump, its profile (or the given one) and its backup. */
export function load(disk: Disk, file: string, givenProfile: string | undefined): Loaded {
  const unbound = bindText(file, disk.readText(file), EMPTY_PROFILE);
  const folder = file === STDIN ? '.' : dirname(resolve(file));
  const named = headerValue(unbound, 'profile');
  const profileFile = givenProfile ?? (named === undefined ? undefined : resolve(folder, named));
  const { profile, status } = loadProfile(disk, profileFile, givenProfile ?? named ?? '', givenProfile !== undefined);
  const { rows, notation } = inNotationOf(profile, (head) => notationOf(file, head), unbound);
  const dump = bind(rows, notation, profile);
  const backup = loadBackup(disk, dump, file, folder);
  const loaded = { file, dump, profileFile: givenProfile ?? named, profile: status, backup };
  return profileFile === undefined ? loaded : { ...loaded, profilePath: profileFile };
}

/**
 * A memory image of any size: only its rows that something is wrong with, and those that its profile speaks of, are in
 * the dump. Undefined for every other file, and where all rows are asked for.
 */
export function scan(disk: Disk, file: string, givenProfile: string | undefined): Loaded | undefined {
  if (file === STDIN) return undefined;
  const given = givenProfile === undefined ? undefined : loadProfile(disk, givenProfile, givenProfile, true);
  const image = imageFile(disk, file, given?.profile);
  if (image === undefined) return undefined;
  const folder = dirname(resolve(file));
  const first = scanImage(image, given?.profile);
  const named = 'asks' in first && first.asks === 'profile' ? first.value : undefined;
  if (named === undefined) {
    if ('asks' in first) return undefined;
    const backup = loadBackup(disk, first, file, folder, readScanned);
    return { file, dump: first, profileFile: givenProfile, profile: given?.status ?? { kind: 'none' }, backup };
  }
  const found = loadProfile(disk, resolve(folder, named), named, false);
  // A profile may say that the file is written otherwise.
  if (found.profile.notation !== undefined && found.profile.notation.id !== image.notation.id) return undefined;
  const dump = scanImage(image, found.profile);
  if ('asks' in dump) return undefined;
  return {
    file,
    dump,
    profileFile: named,
    profile: found.status,
    backup: loadBackup(disk, dump, file, folder, readScanned),
  };
}

/** A dump as far as its problems ask for it: of a memory image no more rows than that takes. */
function readScanned(disk: Disk, path: string, profile: Profile): Dump | undefined {
  const image = existsSync(path) ? imageFile(disk, path, profile) : undefined;
  const scanned = image && scanImage(image, profile);
  return scanned === undefined || 'asks' in scanned ? readWhole(disk, path, profile) : scanned;
}

function readWhole(disk: Disk, path: string, profile: Profile): Dump | undefined {
  const text = disk.readTextIfThere(path);
  return text === undefined ? undefined : bindText(path, text, profile);
}

/** A file as a memory image; undefined where it is none. */
export function imageFile(disk: Disk, file: string, profile: Profile | undefined): ImageFile | undefined {
  const decode = (bytes: Uint8Array) => Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length).toString('utf8');
  const [first = new Uint8Array(0)] = disk.readChunks(file);
  const notation = profile?.notation ?? notationOf(file, decode(first.subarray(0, 4096)));
  return isImage(notation) ? { chunks: () => disk.readChunks(file), notation, decode } : undefined;
}

function loadProfile(
  disk: Disk,
  path: string | undefined,
  name: string,
  given: boolean,
): { profile: Profile; status: ProfileStatus } {
  if (path === undefined) return { profile: EMPTY_PROFILE, status: { kind: 'none' } };
  const text = given ? disk.readText(path) : disk.readTextIfThere(path);
  if (text === undefined) {
    const why = phrase(
      'There is no file "{0}" beside this dump, or it cannot be read. Correct the path, or put the profile there.',
      name,
    );
    return { profile: EMPTY_PROFILE, status: { kind: 'unreadable', why } };
  }
  const { profile, problems } = readProfile(text);
  const [first] = problems;
  if (first?.code === 'profile-unreadable') {
    return {
      profile: EMPTY_PROFILE,
      status: { kind: 'unreadable', why: phrase('The profile cannot be read: {0}', first.message) },
    };
  }
  return { profile, status: { kind: 'read', wrong: first?.message, problems: problems.length } };
}

function loadBackup(disk: Disk, dump: Dump, file: string, folder: string, read = readWhole): BackupStatus {
  const name = headerValue(dump, 'backup');
  if (name === undefined) return { kind: 'none' };
  const path = resolve(folder, name);
  if (file !== STDIN && path === resolve(file)) return { kind: 'itself' };
  const backup = read(disk, path, dump.profile);
  if (backup !== undefined) return { kind: 'read', dump: backup, file: path };
  const why = phrase(
    'There is no file "{0}" beside this dump, or it cannot be read. Correct the path, or make a backup.',
    name,
  );
  return { kind: 'unreadable', why };
}

/** A retrofit that is without problems by itself. */
export function loadRetrofit(disk: Disk, file: string): Retrofit {
  const { retrofit, problems } = readRetrofit(disk.readText(file));
  const [first] = problems;
  if (retrofit === undefined || first !== undefined)
    throw new Failure(phrase('{0}: {1}', file, first?.message ?? phrase('it cannot be read')));
  return retrofit;
}
