import { listed as joined, type Phrase, phrase } from '../base/phrase.js';
import { done, type Result, refuse } from '../base/result.js';
import { DIAGNOSTICS } from '../checks/diagnostics.js';
import { type IndexedProfile, indexedProfile } from '../jobs/library/profileIndex.js';
import { profileInWords } from '../jobs/library/searchLibrary.js';
import { namedValues } from '../options/choices.js';
import type { Confidence, Option, Profile } from '../profile/profile.js';
import type { ProfileReading } from '../profile/readProfile.js';
import { profileProblems, unreadConditions } from './jsonProblems.js';
import { fileName } from './uri.js';

/** A profile of a library, with all that a person asks of it before they use it. */
export interface ListedProfile {
  readonly file: string;
  /** What people call the file. */
  readonly name: string;
  /** Undefined where the file cannot be read at all. */
  readonly index: IndexedProfile | undefined;
  readonly options: readonly ListedOption[];
  readonly problems: readonly ListedProblem[];
}

export interface ListedOption {
  readonly id: string;
  readonly title: string;
  readonly group: string | undefined;
  readonly confidence: Confidence | undefined;
  /** How many times the profile says that it was seen on a module. */
  readonly seen: number;
  /** The words for its values. */
  readonly words: readonly string[];
  readonly at: PlaceInFile;
}

/** A place by characters from the start of a file: of the profile, or of one that it extends. */
export interface PlaceInFile {
  readonly file: string;
  readonly start: number;
}

export interface ListedProblem {
  readonly message: Phrase;
  readonly at: PlaceInFile;
}

interface Listing {
  readonly nameOf: (file: string) => string;
  readonly readProfile: (file: string) => Promise<Result<ProfileReading>>;
  /** How many dumps prove a profile; left out, those count that it names. */
  readonly countProofs?: (file: string, profile: Profile) => Promise<number>;
  /** Awaited between two profiles. */
  readonly pause?: () => Promise<void>;
}

/** All profiles among some files, by their titles; refused where there is none. What cannot be read is one of them, and says why. */
export async function listProfiles(
  files: readonly string[],
  listing: Listing,
): Promise<Result<readonly ListedProfile[]>> {
  if (files.length === 0) return refuse(phrase('There is no profile here.'));
  const listed: ListedProfile[] = [];
  for (const file of files) {
    await listing.pause?.();
    listed.push(await listOne(file, listing));
  }
  const keyOf = ({ index, name }: ListedProfile) => `${index?.title ?? name}\n${name}`;
  return done(
    listed
      .map((one) => ({ one, key: keyOf(one) }))
      .sort(byKey)
      .map(({ one }) => one),
  );
}

function byKey(a: { readonly key: string }, b: { readonly key: string }): number {
  return a.key < b.key ? -1 : a.key > b.key ? 1 : 0;
}

async function listOne(file: string, { nameOf, readProfile, countProofs }: Listing): Promise<ListedProfile> {
  const name = nameOf(file);
  const reading = await readProfile(file);
  if (!reading.ok) {
    const message = phrase('It cannot be read: {0}.', reading.why);
    return { file, name, index: undefined, options: [], problems: [{ message, at: { file, start: 0 } }] };
  }
  const problems = [
    ...(await profileProblems(file, reading.value, readProfile)),
    ...(await unreadConditions(file, reading.value, readProfile)),
  ];
  return {
    file,
    name,
    index: {
      ...indexedProfile({ file, name }, reading.value),
      ...(countProofs && { proofs: await countProofs(file, reading.value.profile) }),
    },
    options: reading.value.profile.options.map((option) => listedOption(file, option)),
    problems: problems
      .filter(({ code }) => DIAGNOSTICS[code].severity === 'error')
      .map(({ message, span, there }) => ({ message, at: placeIn(file, there ?? span) })),
  };
}

function listedOption(file: string, option: Option): ListedOption {
  const { id, title, group, confidence, meaning, source, seen } = option;
  const flags = meaning.kind === 'flags' ? [...meaning.words.values()] : [];
  const words = [...namedValues(option).map((value) => value.words), ...flags];
  return { id, title, group, confidence, seen: seen?.observations.length ?? 0, words, at: placeIn(file, source) };
}

function placeIn(file: string, span: { readonly start: number; readonly file?: string }): PlaceInFile {
  return { file: span.file ?? file, start: span.start };
}

/** A profile in one line: its title, what it is for, what it builds on, how sure it is, and how many problems it has. */
export function profileInLine(
  { name, index, problems }: ListedProfile,
  nameOf: (file: string) => string = fileName,
): Phrase {
  const parts = index?.appliesTo?.part ?? [];
  const bases = index?.bases ?? [];
  const said: readonly Phrase[] =
    index === undefined
      ? []
      : [
          ...(index.title === undefined ? [] : [joined([index.title])]),
          ...(parts.length > 0 ? [phrase('part {0}', parts.join(', '))] : index.flaw ? [] : [phrase('any part')]),
          // What has a problem is left out of a profile, so that it may be for fewer modules than it seems.
          index.flaw ? phrase('options that can be read: {0}', index.options) : profileInWords(index),
          ...(bases.length === 0 ? [] : [phrase('extends {0}', bases.map(nameOf).join(', '))]),
        ];
  const wrong = problems.length === 0 ? [] : [phrase('problems: {0}', problems.length)];
  return phrase('{0}: {1}', name, joined([...said, ...wrong], ' · '));
}
