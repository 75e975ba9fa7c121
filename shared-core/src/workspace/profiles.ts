import { type Phrase, phrase } from '../base/phrase.js';
import { done, type Result } from '../base/result.js';
import type { ProfileStatus } from '../checks/loadedDump.js';
import type { Profile } from '../profile/profile.js';
import { EMPTY_PROFILE, type ProfileReading, readProfile } from '../profile/readProfile.js';
import type { Host } from './host.js';
import { readNamedText } from './readFile.js';
import { forgetChanged, type Stamped, stamped } from './stamped.js';
import { isUnsaved, namedUri } from './uri.js';
import { createUriMap } from './uriMap.js';

/** The profile that explains a dump, and what became of it. */
export interface FoundProfile {
  readonly file: string | undefined;
  /** The same object for the same text, so that a dump that is bound to it need not be bound again. */
  readonly profile: Profile;
  readonly status: ProfileStatus;
}

/** Profiles by their files, each read once until it is forgotten. */
export interface Profiles {
  readonly read: (file: string) => Promise<Result<ProfileReading>>;
  /** The profile that the `@profile` headers of a dump name. */
  readonly namedBy: (dump: string, named: readonly string[]) => Promise<FoundProfile>;
  /** The profile in a file that a person names. */
  readonly given: (file: string) => Promise<Result<FoundProfile>>;
  readonly forget: (file: string) => void;
  /** Reads anew, when they are next asked for, those whose files are not as they were. */
  readonly lookAgain: () => Promise<void>;
  readonly forgetAll: () => void;
}

/** What a dump is bound to whose profile cannot be read: nothing is written by it. */
const UNREAD: Profile = {
  ...EMPTY_PROFILE,
  flaw: { first: phrase('It cannot be read.'), span: { start: 0, end: 0 }, count: 1 },
};

const NONE: FoundProfile = { file: undefined, profile: EMPTY_PROFILE, status: { kind: 'none' } };

function unreadable(file: string | undefined, why: Phrase): FoundProfile {
  return { file, profile: UNREAD, status: { kind: 'unreadable', why } };
}

export const NOT_SAVED = phrase('This dump is not saved yet, and paths are read from its folder. Save it first.');

/** `onRead` is told of each file that is asked for. */
export function createProfiles(host: Host, onRead: (file: string) => void): Profiles {
  const readings = createUriMap<Stamped<Promise<Result<ProfileReading>>>>();
  // The same text gives the same profile.
  const texts = createUriMap<{ readonly text: string; readonly reading: ProfileReading }>();
  const found = createUriMap<Promise<Result<FoundProfile>>>();
  // Of each file the last text that could be read, for the marks while the next one is being typed.
  const lastRead = createUriMap<Profile>();

  const read = (file: string): Promise<Result<ProfileReading>> => {
    onRead(file);
    const known = readings.get(file);
    if (known !== undefined) return known.value;
    const reading = stamped(host, file, () => readText(file));
    readings.set(file, reading);
    return reading.value;
  };

  const readText = async (file: string): Promise<Result<ProfileReading>> => {
    const text = await readNamedText(host, file);
    if (!text.ok) return text;
    const last = texts.get(file);
    const reading = last?.text === text.value ? last.reading : readProfile(text.value);
    texts.set(file, { text: text.value, reading });
    return done(reading);
  };

  const forget = (file: string): void => {
    readings.delete(file);
    found.delete(file);
  };

  const find = async (file: string): Promise<Result<FoundProfile>> => {
    const reading = await read(file);
    if (!reading.ok) return reading;
    const { profile, problems } = reading.value;
    const [first] = problems;
    if (first?.code !== 'profile-unreadable') {
      lastRead.set(file, profile);
      return done({ file, profile, status: { kind: 'read' } });
    }
    const last = lastRead.get(file);
    const why =
      last === undefined
        ? phrase('The profile cannot be read: {0}', first.message)
        : phrase(
            'The profile cannot be read, so nothing is written; its last readable version is shown: {0}',
            first.message,
          );
    const shown = last === undefined ? profile : { ...last, flaw: profile.flaw };
    return done({ file, profile: shown, status: { kind: 'unreadable', why } });
  };

  const at = (file: string): Promise<Result<FoundProfile>> => {
    const known = found.get(file);
    if (known !== undefined) return known;
    const one = find(file);
    found.set(file, one);
    return one;
  };

  const namedBy: Profiles['namedBy'] = async (dump, [path, ...others]) => {
    if (path === undefined) return NONE;
    if (others.length > 0)
      return unreadable(
        undefined,
        phrase('This dump names several profiles: {0}. Keep the one that explains it.', [path, ...others].join(', ')),
      );
    if (isUnsaved(dump)) return unreadable(undefined, NOT_SAVED);
    const named = namedUri(dump, path);
    if (named.ok && named.value === dump)
      return unreadable(dump, phrase('The profile is this dump itself. Name a "*.dump-profile.json" file.'));
    const profile = named.ok ? await at(named.value) : named;
    if (profile.ok) return profile.value;
    return unreadable(
      named.ok ? named.value : undefined,
      phrase('The profile "{0}" cannot be read: {1}. Correct the path, or put the profile there.', path, profile.why),
    );
  };

  return {
    read,
    namedBy,
    given: at,
    forget,
    lookAgain: () => forgetChanged(host, readings, forget),
    forgetAll: () => {
      readings.clear();
      found.clear();
    },
  };
}
