import type { Phrase } from '../../base/phrase.js';
import { checkDump } from '../../checks/checkDump.js';
import type { LoadedDump } from '../../checks/loadedDump.js';
import type { Problem } from '../../checks/problem.js';
import type { Dump } from '../../model/dump.js';
import type { ModuleChange, Retrofit } from '../retrofit.js';

/** A dump under the name of its file, with what is wrong with it. */
export interface NamedDump {
  readonly name: string;
  readonly dump: Dump;
  readonly problems: readonly Problem[];
}

/** A dump under the name of its file, with all that is wrong with it. */
export function namedDump(loaded: LoadedDump, name = loaded.name): NamedDump {
  return { name, dump: loaded.dump, problems: checkDump(loaded) };
}

/** One module of the job: its dump as found, and the dump that is to be written. */
export interface CardModule {
  readonly before: NamedDump;
  readonly after: NamedDump;
  /** What the retrofit asks of this module, where there is one that does. */
  readonly change: ModuleChange | undefined;
}

export interface CardInput {
  readonly modules: readonly CardModule[];
  readonly retrofit: Retrofit | undefined;
  /** When the card is made, ISO 8601. */
  readonly time: string;
}

/** Puts a sentence into the language of the person. */
export type Say = (said: Phrase) => string;
