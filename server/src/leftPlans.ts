import { dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import { listFiles } from '../../shared-core/src/index.js';
import { createDiskHost } from './diskHost.js';
import { type LeftPlan, leftPlans } from './files/journals.js';
import { type Machine, thisMachine } from './files/machine.js';

/**
 * The plans that runs of the command line were cut short in, in folders on the disk and those below them that have dumps.
 * A run that is under way is not waited for: a server never stands still for another.
 */
export async function leftPlansIn(
  folders: readonly string[],
  machine: Machine = thisMachine(),
): Promise<readonly LeftPlan[]> {
  const onDisk = folders.filter((uri) => uri.startsWith('file:'));
  const { dumps } = await listFiles(createDiskHost(), onDisk);
  const found = [...onDisk.map((uri) => fileURLToPath(uri)), ...dumps.map((uri) => dirname(fileURLToPath(uri)))];
  const { fs } = machine;
  const real = [...new Set(found)].filter((path) => fs.statSync(path, { throwIfNoEntry: false })?.isDirectory());
  return leftPlans({ ...machine, wait: () => {} }, [...new Set(real.map(fs.realpathSync))]);
}
