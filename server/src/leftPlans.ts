import { listed, type Phrase } from '../../shared-core/src/index.js';
import { Failure } from './cli/failure.js';
import { settleJournals } from './cli/journals.js';
import { openDisk, pathOf } from './cli/load.js';
import { thisMachine } from './cli/machine.js';

/**
 * Finishes or undoes plans that a run of the command line was cut short in, in folders on the disk; gives what was done
 * or why it could not be, to be told. A run that is under way is left to it: a server never stands still for another.
 */
export async function settleLeftPlans(folders: readonly string[]): Promise<readonly Phrase[]> {
  try {
    const paths = folders.filter((uri) => uri.startsWith('file:')).map(pathOf);
    return await settleJournals({ ...thisMachine(), wait: () => {} }, openDisk(paths), paths);
  } catch (error) {
    return [error instanceof Failure ? error.said : listed(['countersum', String(error)], ': ')];
  }
}
