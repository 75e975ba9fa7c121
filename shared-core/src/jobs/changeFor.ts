import type { Profile } from '../profile/profile.js';

/**
 * Of the profiles that a retrofit names, the number of the one that a dump counts for: its own, or the nearest that this extends,
 * as a variant is one of the module too. -1 where it is none of these.
 */
export function numberFor(wanted: readonly string[], profileFile: string, { bases = [] }: Profile): number {
  const found = [profileFile, ...bases].find((file) => wanted.includes(file));
  return found === undefined ? -1 : wanted.indexOf(found);
}
