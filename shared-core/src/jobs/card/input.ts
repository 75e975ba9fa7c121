import type { Phrase } from '../../base/phrase.js';
import { type CheckedDump, checkDump } from '../../checks/checkDump.js';
import type { Problem } from '../../checks/problem.js';
import { verdictOf } from '../../checks/verdict.js';
import type { Dump } from '../../model/dump.js';
import type { ModuleChange, Retrofit } from '../retrofit.js';

/** A dump under the name of its file, with what is wrong with it and what was not checked. */
export interface NamedDump {
  readonly name: string;
  readonly dump: Dump;
  readonly problems: readonly Problem[];
  /** As the verdict of a check says it. */
  readonly unchecked: readonly Phrase[];
  /** The file of its profile, where that is known. */
  readonly profileFile?: string | undefined;
  /** Whether no profile explains it that can be read. */
  readonly isUnexplained?: boolean;
}

/** A dump with all that a check of it finds. */
export function namedDump(
  name: string,
  checked: CheckedDump & { readonly profileFile?: string | undefined },
): NamedDump {
  const problems = checkDump(checked);
  const { dump, profileFile, profile } = checked;
  const isUnexplained = profile.kind !== 'read';
  return { name, dump, problems, unchecked: verdictOf(checked, problems).unchecked, profileFile, isUnexplained };
}

/** A dump of which more is not known to be good than its check says. */
export function withUnchecked<T extends NamedDump>(dump: T, more: readonly Phrase[]): T {
  return more.length === 0 ? dump : { ...dump, unchecked: [...dump.unchecked, ...more] };
}

/** One module of the job: its dump as found, and the dump that is to be written. */
export interface CardModule {
  readonly before: NamedDump;
  readonly after: NamedDump;
  /** What the retrofit asks of this module, where there is one that does. */
  readonly change: ModuleChange | undefined;
  /** The module is to be as in its backup again; `before` is what it was read to hold last. */
  readonly isWayBack?: true;
}

export interface CardInput {
  readonly modules: readonly CardModule[];
  readonly retrofit: Retrofit | undefined;
  /** When the card is made, ISO 8601. */
  readonly time: string;
}

/** Puts a sentence into the language of the person. */
export type Say = (said: Phrase) => string;
