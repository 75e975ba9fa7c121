import type { Phrase } from '../../shared-core/src/base/index.js';
import type { LeftPlan } from './files/journals.js';

/** What runs of the command line have left half done, where there is a disk that they write to. */
export interface PlansOnDisk {
  /** The plans that were cut short in some folders, or in those below them that have dumps. */
  readonly within: (folders: readonly string[]) => Promise<readonly LeftPlan[]>;
  /** What is to be said of each of some dumps because of such plans; `beside` are the files that were read with them. */
  readonly cutShort: (dumps: readonly string[], beside?: readonly string[]) => Promise<CutShort>;
}

/** By the address of a dump. */
export type CutShort = (file: string) => readonly Phrase[];

/** Where there is no disk, no command line has written. */
export const NO_PLANS: PlansOnDisk = { within: async () => [], cutShort: async () => () => [] };
