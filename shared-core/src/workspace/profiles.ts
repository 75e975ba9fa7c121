import { type Phrase, phrase } from '../base/phrase.js';
import { done, type Result } from '../base/result.js';
import type { ProfileStatus } from '../checks/loadedDump.js';
import { type Bases, pathsExtended } from '../profile/extends.js';
import type { Profile } from '../profile/profile.js';
import { EMPTY_PROFILE, type ProfileReading, readProfile } from '../profile/readProfile.js';
import { findBases } from './bases.js';
import type { Host } from './host.js';
import { readNamedText } from './readFile.js';
import { forgetChanged, type Stamped, stamped } from './stamped.js';
import { canonicalUri, isUnsaved, namedUri } from './uri.js';
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
  /** The profiles that a text extends where it is that of a file; undefined where it extends none. */
  readonly basesOf: (file: string, text: string) => Promise<Bases | undefined>;
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

/** Whether a text gave a profile at all: one that is torn gives none, since its locked places may be in the lost part. */
function isReadable({ problems: [first] }: ProfileReading): boolean {
  return first?.code !== 'profile-unreadable';
}

function isGood({ problems }: ProfileReading): boolean {
  return problems.length === 0;
}

/** The last reading of a file, and the texts that it is of. */
interface LastReading {
  readonly text: string;
  readonly bases: Bases | undefined;
  readonly reading: ProfileReading;
}

function areSame(one: Bases | undefined, other: Bases | undefined): boolean {
  if (one === undefined || other === undefined) return one === other;
  if (one.problem !== undefined || other.problem !== undefined || one.files.length !== other.files.length) return false;
  return one.files.every(({ file, text }, i) => other.files[i]?.file === file && other.files[i]?.text === text);
}

function unreadable(file: string | undefined, why: Phrase): FoundProfile {
  return { file, profile: UNREAD, status: { kind: 'unreadable', why } };
}

export const NOT_SAVED = phrase('This dump is not saved yet, and paths are read from its folder. Save it first.');

/** `onRead` is told of each file that is asked for; `keyOf` is the same for all addresses of one file. */
export function createProfiles(
  host: Host,
  onRead: (file: string) => void,
  keyOf: (file: string) => Promise<string>,
): Profiles {
  // Of profiles and of those that they extend.
  const texts = createUriMap<Stamped<Promise<Result<string>>>>();
  const readings = createUriMap<Promise<Result<ProfileReading>>>();
  // Of each file that was asked for as one that is extended, the profiles that do.
  const extending = createUriMap<ReadonlySet<string>>();
  // The same texts give the same profile.
  const last = createUriMap<LastReading>();
  const found = createUriMap<Promise<Result<FoundProfile>>>();
  // Of each file the last text without a problem, or else that could be read, for the marks while the next is typed.
  const lastRead = createUriMap<Profile>();

  const textOf = (file: string): Promise<Result<string>> => {
    onRead(file);
    const known = texts.get(file);
    if (known !== undefined) return known.value;
    const text = stamped(host, file, () => readNamedText(host, file));
    texts.set(file, text);
    return text.value;
  };

  const read = (file: string): Promise<Result<ProfileReading>> => {
    onRead(file);
    const known = readings.get(file);
    if (known !== undefined) return known;
    const reading = readFile(file);
    readings.set(file, reading);
    return reading;
  };

  const basesOf: Profiles['basesOf'] = async (file, text) => {
    const paths = pathsExtended(text);
    if (paths.length === 0) return undefined;
    const textOfBase = (base: string) => {
      extending.set(base, new Set([...(extending.get(base) ?? []), canonicalUri(file)]));
      return textOf(base);
    };
    return findBases(canonicalUri(file), paths, { textOf: textOfBase, keyOf });
  };

  const readFile = async (file: string): Promise<Result<ProfileReading>> => {
    const text = await textOf(file);
    if (!text.ok) return text;
    const bases = await basesOf(file, text.value);
    const known = last.get(file);
    const isSame = known?.text === text.value && areSame(known.bases, bases);
    const reading = isSame ? known.reading : readProfile(text.value, bases);
    last.set(file, { text: text.value, bases, reading });
    const before = lastRead.get(file);
    if (isGood(reading) || (isReadable(reading) && (before === undefined || before.flaw !== undefined)))
      lastRead.set(file, reading.profile);
    return done(reading);
  };

  const forget = (file: string): void => {
    texts.delete(file);
    for (const one of [file, ...(extending.get(file) ?? [])]) {
      readings.delete(one);
      found.delete(one);
    }
    extending.delete(file);
  };

  const find = async (file: string): Promise<Result<FoundProfile>> => {
    const reading = await read(file);
    if (!reading.ok) return reading;
    const { profile, problems } = reading.value;
    const [first] = problems;
    const shownLast = lastRead.get(file);
    // What was never without a problem is shown as far as it can be read.
    if (first === undefined || (isReadable(reading.value) && (shownLast === undefined || shownLast.flaw !== undefined)))
      return done({ file, profile, status: { kind: 'read' } });
    if (shownLast === undefined) {
      const why = phrase('The profile cannot be read: {0}', first.message);
      return done({ file, profile, status: { kind: 'unreadable', why } });
    }
    const why = phrase(
      'The profile has a problem at the moment, so its last good version is shown and nothing is written: {0}',
      first.message,
    );
    const shown = { ...shownLast, flaw: profile.flaw };
    return done({ file, profile: shown, status: { kind: 'unreadable', why, isStale: true } });
  };

  const at = (file: string): Promise<Result<FoundProfile>> => {
    const known = found.get(file);
    if (known !== undefined) return known;
    const one = find(canonicalUri(file));
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
    basesOf,
    namedBy,
    given: at,
    forget,
    lookAgain: () => forgetChanged(host, texts, forget),
    forgetAll: () => {
      texts.clear();
      readings.clear();
      found.clear();
    },
  };
}
