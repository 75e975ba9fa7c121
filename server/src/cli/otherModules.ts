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
import { readTextIfThere } from './files.js';

/** The dumps of other modules of the same vehicle that lie beside a dump, as far as its profile's conditions ask for them. */
export function otherModulesBeside(file: string, dump: Dump, profileFile: string | undefined): OtherModules {
  const asked = profileFile === undefined ? [] : profilesAskedFor(dump.profile);
  const found = new Map(asked.map((path) => [path, modulesOf(resolve(dirname(profileFile ?? file), path))]));
  return (path) => found.get(path) ?? [];

  function modulesOf(wanted: string): readonly OtherModule[] {
    const text = readTextIfThere(wanted);
    if (text === undefined) return [];
    const { profile } = readProfile(text);
    const folder = dirname(resolve(file));
    const names = readdirSync(folder).filter((name) => isDumpName(name) && name !== basename(file));
    const found = names.sort().flatMap((name): OtherModule | readonly [] => {
      const path = join(folder, name);
      const content = readTextIfThere(path);
      const other = content === undefined ? undefined : bindText(name, content, EMPTY_PROFILE);
      if (content === undefined || other === undefined) return [];
      const named = headerValue(other, 'profile');
      if (named === undefined || resolve(folder, named) !== wanted) return [];
      if (!sameVehicle(dump, other) || !sameStand(dump, other)) return [];
      return { file: path, name, dump: bindText(name, content, profile) };
    });
    return inWork(found);
  }
}
