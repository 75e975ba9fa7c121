import { dirname, join } from 'node:path';
import { type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import { Failure } from '../files/failure.js';
import { cutShortAmong, halfDone, type LeftPlan, leftPlans } from '../files/journals.js';
import type { Machine } from '../files/machine.js';
import type { Prepared } from './command.js';
import type { Disk } from './load.js';
import { withHint } from './repair.js';

/** What is known of plans that were cut short where a command reads. */
export interface PlansFound {
  /** What was done about them, or is to be done. */
  readonly said: readonly Phrase[];
  /** The plans that are half done and concern what has been read so far. */
  readonly concerned: () => readonly LeftPlan[];
}

/**
 * Looks for plans that were cut short in the folders of a command's files. A command that writes there brings them to an
 * end first, or writes nothing; any other only tells.
 */
export async function findPlans(machine: Machine, disk: Disk, call: Prepared): Promise<PlansFound> {
  const folders: string[] = [];
  for (const name of call.places) folders.push(...(await foldersOf(machine, disk, name)));
  const plans = await leftPlans(machine, folders);
  if (!writesThere(machine, call)) {
    return {
      // What cannot be read names no files, and is settled by nobody.
      said: plans.map(({ says, files }) =>
        files.length === 0 ? says : phrase('{0} The next command that writes there settles it first.', says),
      ),
      concerned: () => halfDone(plans, disk.wasRead),
    };
  }
  const said: Phrase[] = [];
  for (const { settle } of plans) {
    const settled = await settle('finish', { unconfirmed: call.unconfirmed });
    if (!settled.ok) throw new Failure(withHint(settled.why, settled.asks));
    said.push(settled.value);
  }
  return { said, concerned: () => [] };
}

/** What is to be said of each of some files that a command has read, by the names that it was given. */
export function cutShortIn(
  disk: Disk,
  plans: readonly LeftPlan[],
  names: readonly string[],
): (name: string) => readonly Phrase[] {
  const said = cutShortAmong(plans, names.map(disk.placeOf));
  return (name) => said(disk.placeOf(name));
}

/** The folder that a file is in; a folder itself, and those below it that have dumps. */
async function foldersOf({ fs }: Machine, disk: Disk, name: string): Promise<readonly string[]> {
  try {
    const path = fs.realpathSync(name);
    if (fs.statSync(path)?.isDirectory() !== true) return [dirname(path)];
    return [...new Set([path, ...(await disk.within(path, 'dumps')).map((file) => dirname(join(path, file)))])];
  } catch {
    // Whoever reads it says what is wrong with it.
    return [];
  }
}

/** Whether a command writes one of its own files, be it that the result goes to a file of that name. */
function writesThere({ fs }: Machine, { destination: { write, out }, places }: Prepared): boolean {
  if (out === undefined) return write;
  const real = (name: string) => {
    try {
      return fs.realpathSync(name);
    } catch {
      return undefined;
    }
  };
  const target = real(out);
  return target !== undefined && places.some((name) => real(name) === target);
}
