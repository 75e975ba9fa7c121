import type { Phrase } from '../../shared-core/src/base/index.js';
import { canonicalUri, childUri, isUnsaved, parentUri, resolveUri } from '../../shared-core/src/workspace/index.js';
import type { Session } from './session.js';

export interface ProfilesAtHand {
  /** Addresses, each once. */
  readonly profiles: readonly string[];
  /** Why some folders could not be looked through. */
  readonly unlisted: readonly Phrase[];
  /** Whether there is any folder to look in. */
  readonly hasFolder: boolean;
}

/** The profiles of the open folders, of those that the person keeps profiles in, and of `profiles` beside or above some files. */
export async function profilesAround(session: Session, files: readonly string[]): Promise<ProfilesAtHand> {
  const saved = files.filter((file) => !isUnsaved(file));
  const own = new Set<string>();
  const above = new Set<string>();
  for (const file of saved) {
    const { profileFolders } = await session.settings(file);
    for (const path of profileFolders) own.add(resolveUri(file, path));
    for (const place of placesAbove(file)) above.add(childUri(place, 'profiles'));
  }
  const open = await session.list();
  const kept = await session.files.list([...own]);
  // Most of these folders are not there.
  const near = await session.files.list([...above]);
  return {
    profiles: [...new Set([open, kept, near].flatMap(({ profiles }) => profiles).map(canonicalUri))],
    unlisted: [...open.unlisted, ...kept.unlisted],
    hasFolder: session.folders().length + own.size + near.profiles.length > 0,
  };
}

/** The same where a person asks for them: around the dump that they are in, and around what is in the open folders. */
export function profilesOf(session: Session, around: string | null): Promise<ProfilesAtHand> {
  const inFolders = session.folders().map((folder) => childUri(folder.replace(/\/$/, ''), 'any'));
  return profilesAround(session, [...(around === null ? [] : [around]), ...inFolders]);
}

function placesAbove(uri: string): readonly string[] {
  const places = [parentUri(uri)];
  for (;;) {
    const last = places[places.length - 1] as string;
    const next = parentUri(last);
    if (next === last || next.length >= last.length) return places;
    places.push(next);
  }
}
