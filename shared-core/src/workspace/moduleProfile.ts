import { numberFor } from '../jobs/changeFor.js';
import type { Workspace } from './workspace.js';

/** Dumps that name a profile, each with that profile of some, such as a retrofit names, which it counts for. */
export async function byModule<T extends { readonly profileFile: string }>(
  { readProfile }: Pick<Workspace, 'readProfile'>,
  dumps: readonly T[],
  wanted: readonly string[],
): Promise<readonly T[]> {
  const known = new Map<string, string>();
  for (const { profileFile } of dumps) {
    if (known.has(profileFile)) continue;
    const reading = await readProfile(profileFile);
    const number = reading.ok ? numberFor(wanted, profileFile, reading.value.profile) : -1;
    known.set(profileFile, wanted[number] ?? profileFile);
  }
  return dumps.map((dump) => ({ ...dump, profileFile: known.get(dump.profileFile) ?? dump.profileFile }));
}
