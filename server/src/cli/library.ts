import { isExplainedWhole } from '../../../shared-core/src/actions/index.js';
import { listed, type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import {
  type IndexedProfile,
  indexedProfile,
  profileInWords,
  searchLibrary,
} from '../../../shared-core/src/jobs/index.js';
import { headersOf } from '../../../shared-core/src/model/index.js';
import { countProofs, type Workspace } from '../../../shared-core/src/workspace/index.js';
import { Failure } from '../files/failure.js';

/** Profiles of folders, from which a dump that names none gets the one that fits alone. */
export interface Library {
  /** The address of that profile; undefined where the dump names one or cannot be read. Where none or several fit, the command ends. */
  readonly profileFor: (name: string) => Promise<string | undefined>;
  /** What was taken for which dump. */
  readonly said: () => readonly Phrase[];
  /** The profile that was taken for a dump, by their names. */
  readonly chosenFor: (name: string) => string | undefined;
}

/** `files` are the names of all profiles there, asked for once and only where a dump needs one. */
export function openLibrary(
  workspace: Workspace,
  uriOf: (name: string) => string,
  files: () => Promise<readonly string[]>,
): Library {
  const unread: { readonly name: string; readonly why: Phrase }[] = [];
  const chosen = new Map<string, string>();
  let known: Promise<readonly IndexedProfile[]> | undefined;

  const readAll = async (): Promise<readonly IndexedProfile[]> => {
    const index: IndexedProfile[] = [];
    for (const name of await files()) {
      const reading = await workspace.readProfile(uriOf(name));
      const one = reading.ok ? indexedProfile({ file: uriOf(name), name }, reading.value) : undefined;
      if (one !== undefined) index.push(one);
      if (!reading.ok) unread.push({ name, why: reading.why });
    }
    return index;
  };

  return {
    profileFor: async (name) => {
      const file = uriOf(name);
      const unbound = await workspace.explain(file, { name, rows: 'needed' });
      // Why a dump cannot be read says whoever loads it.
      if (!unbound.ok || headersOf(unbound.value.dump).some(({ header }) => header.name === 'profile'))
        return undefined;
      known ??= readAll();
      const index = await known;
      const explains = async (profile: string) => {
        const explained = await workspace.explain(file, { name, rows: 'needed', profile });
        return explained.ok && isExplainedWhole(explained.value.dump);
      };
      const found = await searchLibrary(index, unbound.value.dump, explains, unread);
      switch (found.kind) {
        case 'one':
          if (found.doubt !== undefined)
            throw new Failure(
              phrase(
                '{0}: {1} fits, but nobody can tell whether it does so alone. {2} Correct that one, or say which with --profile FILE.',
                name,
                found.profile.name,
                found.doubt,
              ),
            );
          chosen.set(name, found.profile.name);
          return found.profile.file;
        case 'several': {
          const all: Phrase[] = [];
          for (const one of found.profiles) {
            const reading = await workspace.readProfile(one.file);
            const proofs = reading.ok ? await countProofs(one.file, reading.value.profile, workspace) : 0;
            all.push(phrase('{0} ({1})', one.name, profileInWords({ ...one, proofs })));
          }
          throw new Failure(
            phrase('{0}: several profiles fit: {1}. Say which with --profile FILE.', name, listed(all, '; ')),
          );
        }
        case 'none':
          throw new Failure(
            phrase(
              '{0}: no profile of the library fits: {1} To use one all the same: --profile FILE.',
              name,
              found.why,
            ),
          );
      }
    },
    said: () => Array.from(chosen, (pair) => phrase('{0}: the profile is {1}', ...pair)),
    chosenFor: (name) => chosen.get(name),
  };
}
