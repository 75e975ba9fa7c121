import type { Workspace } from './workspace.js';

/**
 * Of some profiles, such as a retrofit names, the one that dumps of a profile count for: the profile itself, or the nearest that
 * it extends, as a variant is one of the module too. The profile itself where it is none of these.
 */
export async function moduleProfile(
  { readProfile }: Pick<Workspace, 'readProfile'>,
  profileFile: string,
  wanted: readonly string[],
): Promise<string> {
  if (wanted.includes(profileFile)) return profileFile;
  const reading = await readProfile(profileFile);
  // What is extended comes before what extends it.
  const bases = reading.ok ? (reading.value.chain?.bases ?? []) : [];
  return (
    bases
      .map(({ file }) => file)
      .filter((file) => wanted.includes(file))
      .at(-1) ?? profileFile
  );
}

/** The same of each of some dumps that name a profile. */
export async function byModule<T extends { readonly profileFile: string }>(
  workspace: Pick<Workspace, 'readProfile'>,
  dumps: readonly T[],
  wanted: readonly string[],
): Promise<readonly T[]> {
  const known = new Map<string, Promise<string>>();
  const found = (file: string) => {
    const one = known.get(file) ?? moduleProfile(workspace, file, wanted);
    known.set(file, one);
    return one;
  };
  return Promise.all(dumps.map(async (dump) => ({ ...dump, profileFile: await found(dump.profileFile) })));
}
