import { type Phrase, phrase } from '../base/phrase.js';
import type { Result } from '../base/result.js';
import { type Base, type Bases, readBase } from '../profile/extends.js';
import { fileName, namedUri, parentUri, relativePath } from './uri.js';

/** The way to the files of profiles. */
export interface ProfileTexts {
  readonly textOf: (file: string) => Promise<Result<string>>;
  /** The same for all addresses of one file. */
  readonly keyOf: (file: string) => Promise<string>;
}

/** More profiles than these do not make one: nobody could say what counts. */
const MOST_BASES = 16;

/** A profile that is being looked at, and those that led to it. */
interface Visit {
  readonly file: string;
  readonly trail: readonly { readonly key: string; readonly name: string }[];
}

/**
 * The profiles that a profile extends by some paths, each with those that it extends in turn below it. One that several
 * extend is there once, where it is met first.
 */
export async function findBases(
  file: string,
  paths: readonly string[],
  { textOf, keyOf }: ProfileTexts,
): Promise<Bases> {
  const files: Base[] = [];
  const known = new Set<string>();
  const asked: string[] = [];

  /** Why one of the profiles that a path leads to is not to be had. */
  const visit = async (from: Visit, path: string): Promise<Phrase | undefined> => {
    const named = namedUri(from.file, path);
    if (!named.ok) return whyUnread(from, path, named.why);
    const [uri, name] = [named.value, fileName(named.value)];
    const key = await keyOf(uri);
    const again = from.trail.findIndex((one) => one.key === key);
    if (again >= 0) {
      const circle = [...from.trail.slice(again), from.trail[again]].map((one) => one?.name).join(' → ');
      return phrase('These profiles extend each other in a circle: {0}. Take one "extends" out.', circle);
    }
    if (known.has(key)) return undefined;
    known.add(key);
    if (known.size > MOST_BASES)
      return phrase('This profile extends more than {0} others, directly or through each other.', MOST_BASES);
    asked.push(uri);
    const text = await textOf(uri);
    if (!text.ok) return whyUnread(from, path, text.why);
    const base = readBase(text.value);
    if (!base.ok) return phrase('The profile "{0}" cannot be extended: {1}', name, base.why);
    const here = { file: uri, trail: [...from.trail, { key, name }] };
    for (const next of base.value) {
      const why = await visit(here, next);
      if (why !== undefined) return why;
    }
    files.push({ file: uri, name, text: text.value, pathFrom: (there) => movedPath(file, uri, there) });
    return undefined;
  };

  const own = { file, trail: [{ key: await keyOf(file), name: fileName(file) }] };
  for (const [at, path] of paths.entries()) {
    const message = await visit(own, path);
    if (message !== undefined) return { files: [], asked, problem: { at, message } };
  }
  return { files, asked };
}

function whyUnread({ file, trail }: Visit, path: string, why: Phrase): Phrase {
  return trail.length === 1
    ? phrase('The profile "{0}" cannot be read: {1}. Correct the path, or put the profile there.', path, why)
    : phrase(
        '{0} extends the profile "{1}", which cannot be read: {2}. Correct the path, or put the profile there.',
        fileName(file),
        path,
        why,
      );
}

/** A path that is written in one file as it is written in another. */
function movedPath(to: string, from: string, path: string): string {
  if (parentUri(from) === parentUri(to)) return path;
  const named = namedUri(from, path);
  return (named.ok ? relativePath(to, named.value) : undefined) ?? path;
}
