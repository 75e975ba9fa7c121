import { explainsWhole, whyNotNamed } from '../../shared-core/src/actions/index.js';
import { type Phrase, valueIn } from '../../shared-core/src/base/index.js';
import { type IndexedProfile, indexedProfile, searchLibrary } from '../../shared-core/src/jobs/index.js';
import type { Dump } from '../../shared-core/src/model/index.js';
import type { InitializationOptions } from '../../shared-core/src/protocol/initialization.js';
import type { HeaderPlace } from '../../shared-core/src/protocol/learning.js';
import { fileName, isUnsaved, relativePath } from '../../shared-core/src/workspace/index.js';
import { profilesAround } from './profileFolders.js';
import type { Session } from './session.js';
import type { pauses } from './slices.js';
import { namingOf, readUnbound } from './unboundDumps.js';

/** The profiles that fit a dump which names none, by their paths from there, and where it is to name one. */
export interface Fitting {
  readonly profiles: readonly IndexedProfile[];
  /** One fits alone, and nothing is in doubt. */
  readonly isSure: boolean;
  readonly naming: HeaderPlace;
}

/** A profile that explains all lines and sums of a dump, as that is to name it. */
export interface Explaining {
  readonly path: string;
  readonly title: string;
}

/** The profiles of the folders that are open which explain a dump. */
export async function explainingProfiles(
  session: Session,
  uri: string,
  dump: Dump,
  pause: ReturnType<typeof pauses>,
): Promise<readonly Explaining[]> {
  const found: Explaining[] = [];
  for (const profile of (await session.list()).profiles) {
    await pause();
    const reading = valueIn(await session.files.readProfile(profile));
    const path = relativePath(uri, profile);
    if (reading !== undefined && path !== undefined && explainsWhole(reading.profile, dump, fileName(uri)))
      found.push({ path, title: reading.profile.title ?? '' });
  }
  return found;
}

export async function fittingProfiles(
  session: Session,
  uri: string,
  pause: ReturnType<typeof pauses>,
): Promise<Fitting | undefined> {
  const unbound = valueIn(await readUnbound(session, uri));
  const naming = unbound === undefined ? null : namingOf(unbound);
  if (unbound === undefined || naming === null) return undefined;
  const { commands } = (session.client.initializationOptions ?? {}) as InitializationOptions;
  // Into the file beside a dump the client writes: it may be there already, or not.
  const beside = naming.isBeside === true && commands === true && !isUnsaved(uri);
  if (naming.isBeside === true && !beside) return undefined;
  const { dump } = unbound;
  const index: IndexedProfile[] = [];
  const unread: { readonly name: string; readonly why: Phrase }[] = [];
  for (const file of (await profilesAround(session, [uri])).profiles) {
    await pause();
    const reading = await session.files.readProfile(file);
    const name = relativePath(uri, file);
    if (name === undefined) continue;
    if (reading.ok) index.push(indexedProfile({ file, name }, reading.value));
    else unread.push({ name, why: reading.why });
  }
  const explains = async (file: string) => {
    await pause();
    const profile = valueIn(await session.files.readProfile(file))?.profile;
    return (
      profile !== undefined &&
      whyNotNamed(dump, profile, { beside }) === undefined &&
      explainsWhole(profile, dump, fileName(uri))
    );
  };
  const found = await searchLibrary(index, dump, explains, unread);
  if (found.kind === 'none') return undefined;
  return found.kind === 'one'
    ? { profiles: [found.profile], isSure: found.doubt === undefined, naming }
    : { profiles: found.profiles, isSure: false, naming };
}
