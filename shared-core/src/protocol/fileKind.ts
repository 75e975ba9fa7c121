import { DUMP_ENDINGS, isDumpName } from '../notation/notationOf.js';

const PROFILE = 'dump-profile.json';
const RETROFIT = 'retrofit.json';

/** Dumps, profiles and retrofits, as a pattern of file names that the editor understands. */
export const OUR_FILES = `**/*.{${[...DUMP_ENDINGS, PROFILE, RETROFIT].join(',')}}`;

/** What a file is by its name, or the address that ends in it; undefined where it is none of ours. */
export function kindOf(name: string): 'dumps' | 'profiles' | 'retrofits' | undefined {
  if (name.endsWith(`.${PROFILE}`)) return 'profiles';
  if (name.endsWith(`.${RETROFIT}`)) return 'retrofits';
  return isDumpName(name) ? 'dumps' : undefined;
}

/** Whether a folder holds what programs made, not what a person keeps. */
export function isPassedOver(folder: string): boolean {
  return folder.startsWith('.') || folder === 'node_modules';
}
