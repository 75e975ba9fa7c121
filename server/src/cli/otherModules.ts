import { readdirSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import {
  bindText,
  type Dump,
  EMPTY_PROFILE,
  headerValue,
  inWork,
  isDumpName,
  type OtherModule,
  type OtherModules,
  profilesAskedFor,
  readProfile,
  sameStand,
  sameVehicle,
} from '../../../shared-core/src/index.js';
import { type Disk, STDIN } from './disk.js';

/** Gives the dumps of other modules of the same vehicle, as far as a dump's profile asks for them. */
export type FindModules = (file: string, dump: Dump, profileFile: string | undefined) => OtherModules;

/** A dump file with what its headers say. */
interface Candidate {
  readonly path: string;
  readonly text: string;
  readonly head: Dump;
  readonly profileFile: string;
}

/** Looks for other modules beside a dump, and among the files that a command was given; each is read once. */
export function otherModulesAmong(disk: Disk, files: readonly string[]): FindModules {
  const given = files.filter((file) => file !== STDIN).map((file) => resolve(file));
  const read = new Map<string, Candidate | undefined>();
  const candidate = (path: string): Candidate | undefined => {
    if (!read.has(path)) read.set(path, readCandidate(disk, path));
    return read.get(path);
  };
  return (file, dump, profileFile) => {
    const self = resolve(file);
    const asked = profileFile === undefined ? [] : profilesAskedFor(dump.profile);
    const paths =
      asked.length === 0 ? [] : [...new Set([...dumpsBeside(self), ...given])].filter((path) => path !== self);
    const modulesOf = (wanted: string): readonly OtherModule[] => {
      const text = disk.readTextIfThere(wanted);
      if (text === undefined) return [];
      const { profile } = readProfile(text);
      const fitting = paths
        .flatMap((path) => candidate(path) ?? [])
        .filter(({ profileFile: named, head }) => named === wanted && sameVehicle(dump, head) && sameStand(dump, head));
      return inWork(
        fitting.map(({ path, text: content }) => ({
          file: path,
          name: basename(path),
          dump: bindText(path, content, profile),
        })),
      );
    };
    const found = new Map(asked.map((path) => [path, modulesOf(resolve(dirname(profileFile ?? file), path))]));
    return (path) => found.get(path) ?? [];
  };
}

function dumpsBeside(file: string): readonly string[] {
  const folder = dirname(file);
  const names = readdirSync(folder, { withFileTypes: true }).filter(
    (entry) => entry.isFile() && isDumpName(entry.name),
  );
  return names.map(({ name }) => join(folder, name)).sort();
}

function readCandidate(disk: Disk, path: string): Candidate | undefined {
  const text = disk.readTextIfThere(path);
  const head = text === undefined ? undefined : bindText(path, text, EMPTY_PROFILE);
  const named = head === undefined ? undefined : headerValue(head, 'profile');
  if (text === undefined || head === undefined || named === undefined) return undefined;
  return { path, text, head, profileFile: resolve(dirname(path), named) };
}
